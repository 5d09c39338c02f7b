"""The conversation, pure: words in, facts to record and sentences to speak out."""
