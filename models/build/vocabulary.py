"""The words of the model: words.txt (the job) and the most frequent words of English, with their pronunciations.

words.txt holds one word a line; behind a word that no pronunciation list knows, its phonemes (ARPAbet without stress).
To add words: write them there and run `python -m models.build.regraph models/site-en`; nothing is trained again.
"""

import os

import wordfreq

from . import lexicon

WORDS = os.path.join(os.path.dirname(os.path.abspath(__file__)), "words.txt")
FREQUENT = 5000

NAMES = frozenset(
    ["amazon", "android", "apple", "audi", "bbc", "bmw", "boeing", "chevrolet", "chrome", "cnn", "disney", "ebay", "espn", "facebook", "ferrari", "fifa", "firefox", "ford", "gmail", "google", "hollywood", "honda", "hyundai", "ibm", "instagram", "intel", "ipad", "iphone", "lego", "linkedin", "linux", "marvel", "mercedes", "microsoft", "nba", "netflix", "nfl", "nike", "nintendo", "nissan", "paypal", "playstation", "pokemon", "porsche", "reddit", "samsung", "siri", "skype", "snapchat", "sony", "spotify", "starbucks", "tesla", "tiktok", "toyota", "tumblr", "twitter", "uber", "volkswagen", "walmart", "whatsapp", "wikipedia", "windows", "xbox", "yahoo", "youtube", "biden", "clinton", "hitler", "obama", "putin", "trump"]
)
"""Frequent words that are brands or persons: nobody on site needs them, so they are not in the model."""


def _listed():
    with open(WORDS) as f:
        rows = [line.split() for line in f if line.strip()]
    return {r[0]: [r[1:]] if r[1:] else [] for r in rows}


def job():
    """The words of the job, sorted."""
    return sorted(_listed())


def frequent(count=FREQUENT):
    """Frequent words with a known pronunciation, the most frequent first."""
    return [w for w in wordfreq.top_n_list("en", count) if w.isalpha() and w not in NAMES and lexicon.known(w)]


def prons(word):
    """Pronunciations of a word: lists of phonemes."""
    return lexicon.prons(word) or _listed().get(word, [])


def all_words():
    """Every word of the model, sorted."""
    return sorted(set(job()) | set(frequent()))
