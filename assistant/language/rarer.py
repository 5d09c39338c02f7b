"""What builders also say: wordings that are understood, but that the ears are not told to listen for.

Each wording that is listened for makes every other one harder to hear; these are read where they are typed, or heard by chance.  Here
too is what is nothing but manner of speaking: words before and behind a sentence, and other names for one thing.
"""

from __future__ import annotations

import re

from assistant.language.vocabulary import PHRASES, Act, Phrase, Stage

_PICKET = "(picket|paling|board|slat)"
_PICKETS = "(pickets|palings|boards|slats)"
_MOMENT = "(minute|sec|second|moment|tick|bit)"
_ASK = frozenset({Stage.ASK})
_HUB = frozenset({Stage.HUB})
_WALK = frozenset({Stage.WALK})
_GAP = frozenset({Stage.GAP})
_CHOOSE = frozenset({Stage.CHOOSE})
_DOUBT = frozenset({Stage.DOUBT})
_CAUTION = frozenset({Stage.CAUTION})


def _stages(act: Act) -> frozenset[Stage]:
    return frozenset().union(*(phrase.stages for phrase in PHRASES if phrase.act is act))


def _also(act: Act, *templates: str, stages: frozenset[Stage] | None = None) -> Phrase:
    """More wordings of an act, wherever it counts if not said otherwise."""
    return Phrase(act, templates, _stages(act) if stages is None else stages)


RARER: tuple[Phrase, ...] = (
    _also(
        Act.VALUE,
        "[tape] reads <length>", "(it|tape|that) (reads|measures|comes to|came to|goes) <length>", "it comes out at <length>",
        "i (get|got|have|make it|measure|measured|read) <length>", "[that is|it is|they are|we have|i have got|we have got|i've got|"
        "we've got] <length> [wide|clear|across|long|between posts|between the posts]",
        "(say|go with|use|put|put down|put in|try) <length>",
        "(say|make it|call it|we will say) <length>", "(set|make) (it|that) to <length>", "[it is] (bang on|dead on|spot on) <length>",
        "i (said|meant|mean) <length>", "that (should be|is) <length>", "(the opening is|is|was) <length>", "measured <length>",
        stages=frozenset({Stage.ASK, Stage.CHOOSE, Stage.DOUBT, Stage.GAP}),
    ),
    _also(
        Act.CORRECT,
        "no (i said|i meant|i mean|it is|it was|that is|that was|that should be|it should be|call it|say) <length>",
        "(sorry|oops|whoops|hang on|wait|scratch that|correction|my mistake|my bad|not right) [make] [that|it] [is|was|should be] <length>",
        "(that|it) should (be|have been|read) <length>", "i meant [to say] <length>", "no wait <length>", "no no <length>",
        "nah <length>", "no make that <length>",
        "nah (make it|it is|that is|i said) <length>", "change (that|it) to <length>", "make it <length> instead",
        "(should be|should have been|should read) <length>", "wrong [it is|that is|make it] <length>",
        "i got that wrong [it is] <length>",
    ),
    _also(Act.CORRECT, "(make it|it is|it was|call it|say) <length>", stages=frozenset({Stage.HUB})),
    _also(
        Act.YES,
        "yeah", "yeah mate", "correct", "that is right", "right", "righto", "too right", "sure", "aye", "spot on", "it is",
        "that is correct",
        "that is it", "(yes|yep|yeah) (it is|that is right|that is it|do it|go on|correct)", "yes yes", "yeah yeah", "affirmative",
        "true",
        "you got it", "go for it", "do it", "(yes|yep) (open|remove|match|take) it", "i am sure", "sure is", "bang on",
        "dead right", "ok",
        stages=_DOUBT,
    ),
    _also(Act.YES, "yeah", "correct", "that is correct", "that is right", "yeah that is right", "spot on", "righto", "right", "ok",
        "sure"),
    _also(
        Act.NO, "no no", "not quite", "negative", "that is no good", "nah nah", "no way", "not that", "that is not it", "no it is not",
        "it is not", "no not right", "yeah nah", "no that is not right", "i did not say that", "no i did not", "no good", "do not",
        "no do not",
    ),
    _also(Act.NO, "neither", "neither [one]", "neither of (them|those)", "none of (them|those)", "not either", stages=_CHOOSE),
    _also(Act.NO, "[no] not confirmed", "no the gap is wrong", "the gap is wrong", "that gap is wrong", "no change it", stages=_GAP),
    _also(Act.NO, "not just yet", "hang on not yet", "i have not [yet]", "no i have not", "no not done", stages=_CAUTION),
    _also(
        Act.FIRST, "[yes|yep|yeah] [the] (first|former) [one|number]", "number one", "[the] one you said first", "first please",
        "(option|choice) one", "it is the first [one]", "the first is right",
    ),
    _also(
        Act.SECOND, "[yes|yep|yeah] [the] (second|latter|last|other) [one|number]", "number two", "second please",
        "(option|choice) two",
        "it is the second [one]", "the second is right",
    ),
    _also(
        Act.NEXT,
        "(what is|give me|tell me|go to|on to) [the] next [mark|one|picket]", "next (mark|one|number|picket) please", "next up",
        "[the] next (mark|one|number|picket)", "and next", "go next", "now what", "what now", "what do i do now", "what do you need",
        "what do you want", "what next", "what is next", "move on",
    ),
    _also(Act.NEXT, "done", "(got|marked) (it|that|him)", "marked", "done that [one]", "that is marked",
        "that one is done", stages=_WALK),
    _also(
        Act.REPEAT,
        "repeat (that|it)", "what", "sorry", "eh", "huh", "what did you say", "say what",
        "what was (it|that|the last one|the mark|the number)",
        "what was that (again|one|number|mark|last one|you said)", "(did not|i did not|did not quite) (catch|hear|get) (that|you|it)",
        "i (missed|lost) (that|it)", "missed that", "once more",
        "(again|repeat that|say that again|one more time|once more) please", "what is it",
        "(can|could) you (repeat|say) that [again]", "repeat the (mark|number|question)", "give me that again", "tell me again",
        "and again",
        "what is that [again]", "what is the (question|number)", "beg your pardon", "i beg your pardon", "sorry what [was that]",
        "what was the question", "run that by me again", "say again please", "you what", "what am i meant to do", "pardon me",
    ),
    _also(Act.REPEAT, "what is (the|this) mark", "what is this one", "same again", "current mark", stages=_WALK),
    _also(
        Act.BACK,
        "(last|previous) (mark|one)", "[go] back a (mark|picket|step)", "back (up|up one|one mark|a bit)", "the one before [that]",
        "[what was] the (one|mark) before", "go back (one mark|one picket|a mark)", "one before", "back again", "back please",
    ),
    _also(
        Act.STOP, "drop it", "skip it", "skip this", "leave that", "stop that", "that will do", "enough", "knock it off", "abort",
        "scrap that",
        "scrap it", "leave it there", "forget that", "forget about it", "stop marking", "leave it for now", "do not worry [about it]",
    ),
    _also(
        Act.UNDO, "undo the last (one|thing)", "take it back", "put it back", "scratch that", "take (that|the last one) (off|out)",
        "go back on that", "undo it", "that was wrong undo",
    ),
    _also(
        Act.HELP, "what can i (do|say) [now|here]", "what are my options", "what (do|should) i say [now|here|next]", "help me",
        "how does (this|it) work", "how do i do this", "i am stuck", "i am lost", "options", "commands", "what are the commands",
        "give me a hand",
    ),
    _also(Act.MORE, "more", "what more", "more options", "anything else", "keep going with the list", "go on with the list"),
    _also(Act.SLEEP, "go to sleep", "sleep", "stop listening", "smoko", "lunch", "do not listen", "ears off", "take a break"),
    _also(Act.WAKE, "wake up", "i am back", "are you there", "hello assistant", "start listening"),
    _also(
        Act.SAME,
        "[it is|they are|that is] the (same|same again|same length|same size|same thing)", "same (again|length|size|thing)",
        "[the] same (up|at the) top",
        "top [is] [the] same", "[the] top is [the] same [as [the] bottom]", "same (at|for|on) (the top|top)",
        "as (the bottom|before|above)",
        "[the] same as (below|before|that|the last one|the other one|last one)", "identical", "likewise", "snap", "no change",
        "both [the] same", "both (are|were) the same", "they are both the same", "equal", "same as down below", "same (up|down) there",
        "matches [the] bottom", "it matches", "exactly the same", "just the same", "same measurement", "same number",
        "the same for both", "same both", "the same top and bottom", "same top and bottom", "bottom [is] [the] same",
    ),
    _also(
        Act.SAME_BAY, "same again", "the same again", "another the same", stages=frozenset({Stage.HUB}),
    ),
    _also(Act.SAME_BAY, "same (as|like) (the|that) (other|previous) (one|bay)", "same as bay <count>",
        "identical to (the last|bay <count>)",
          "copy (the last bay|bay <count>)", "(another|one more) [one] the same", "same as the last bay", "new bay [the] same [again]",
          "[next bay|next one] same as (the last one|last time|before|the last|last one)", "bay <count> [is] the same [again]",
          "next one [is] the same"),
    _also(
        Act.NEXT_BAY, "(on to|go to|start|do|move to|move on to|go on to) the next bay", "next one along", "[the] following bay",
        "next bay please",
        "next bay along", "now the next [bay|one]",
    ),
    _also(
        Act.NEW_BAY, "(start|measure|do) (a|another|a new) bay", "add another bay", "i (have|have got) another bay",
        "there is another bay",
        "one more [to measure]", "and another [one]", "another one", "new one", "got another [one|bay]", "add one more bay",
        "a new bay",
    ),
    _also(Act.NEW_GATE, "(it is|there is|that is|this is) a gate", "actually it is a gate", "a gate",
        "[this|the] next (one|bay) is a gate",
          "another gate", "put (a gate|in a gate)", "gate next", "gate here", "now a gate", "and a gate", "the gate", "we have a gate"),
    _also(
        Act.ALL_MEASURED,
        "that is (it|everything|the last one|the last bay|all the bays|every bay|them all|all i have|the end|all of it|all there is)",
        "(we are|i am) (done|finished|all done|done measuring|finished measuring)", "finished [measuring]", "done measuring",
        "nothing more",
        "no more to (measure|do)", "that was the last (bay|one)", "end of the (run|fence|line)", "that is all the measuring", "all in",
        "no other bays", "all the bays are (in|measured|done)", "that is your lot", "last bay done", "there are no more [bays]",
        "that does it",
        "no that is (it|all|the lot)", "no that is all of them", "that is the lot of them", "all bays (done|measured|in)",
        "no other [ones]",
        "that is the whole (fence|run|lot)", "no more gates", "i have measured (everything|them all)",
    ),
    _also(
        Act.START_MARKING,
        "let us (mark|start|go|begin|do it|mark it|mark it out|mark it up|get marking|get started|start marking)",
        "let us mark (bay one|the first bay)",
        "ready [to (go|start|nail|mark up|mark out)]", "i am ready [to mark]", "start", "begin", "begin marking", "start the marks",
        "[give|read|call] me the marks", "call the marks", "call [out] the marks", "mark [it]", "mark (this bay|that bay|the bay)",
        "start on the marks", "set it out", "go", "let us have the marks", "time to mark", "marking", "mark up", "mark out",
        "start setting out",
        "(mark|start [marking|on]|set out|do) bay <count>", "begin bay <count>", "marks please", "nail it [off|up]",
        "start marking [it] [now|please]",
        "start nailing [it] [off]", "give me the first mark", "what is the first mark", "first mark",
        stages=frozenset({Stage.HUB}),
    ),
    _also(
        Act.GO_BAY, "(do|take|switch to|jump to|over to|choose|select) bay <count>", "[go] to bay <count>", "[go] back on bay <count>",
        "bay number <count>", "the <count> bay",
    ),
    _also(
        Act.SUMMARY,
        "how many (pickets|palings|boards|slats) (do i need|is that|are there|in there|in that bay|in this bay|have we got|does it take)",
        "how many (is that|do i need|does it take|are there|in this bay|in that bay)", "read (it|that) back [to me]", "read me the bay",
        "[read] bay <count> summary", "read bay <count> [back]", "what have (we|i|you) got", "where are we at",
        "what is (in|on) bay <count>",
        "how many (pickets|palings|boards|slats) in bay <count>", "what did you get", "tell me about bay <count>", "sum it up",
        "run through it",
        "summary of bay <count>", "read (me|out) bay <count>", "how many in bay <count>", "what is the count", "picket count",
        "[what is] the layout",
    ),
    _also(
        Act.IN_ALL,
        "how many (pickets|palings|boards|slats) (in all|all up|altogether|in total|all together|for the lot|for the whole job|for "
        "the whole fence)",
        "how many (altogether|in total|all together|for the lot|all told|so far)", "total (pickets|palings|boards|slats)",
        "what is the total",
        "how many bays [so far|have we got|are there|do we have|have i got|have i done]",
    ),
    _also(
        Act.WHICH_GAP,
        "what gap [is|was] [that|it|this]", "what is (my|our|that) gap", "what is the gap (again|here|in this bay|now|there)",
        "gap again",
        "how much is the gap", "what gap do (i|we) (have|use|get)", "what is the (space|spacing) [again]",
        "how far apart [are they]", "the gap",
        "what was the gap [again]", "(remind me of|tell me|give me|read me|repeat|say) the gap [again]",
        "what is the gap (in|for|of) bay <count>",
        "gap (in|for|of) bay <count>", "how wide is the gap", "what is the gap between (pickets|palings|boards|slats)",
        "gap please", "what is the gap size",
    ),
    _also(
        Act.WHICH_BOTTOM,
        "(what is|what was|read me|tell me|repeat) the bottom (opening|measurement|length|one) [again|of this bay|in this bay]",
        "what did i (say|give you|measure|call) for the bottom [of bay <count>]", "how (wide|long) is the bottom [of bay <count>]",
        "(what is|what was) bay <count> bottom", "(what is|what was) the bottom again", "bottom of bay <count>",
        "how (wide|long|big) (is|was) bay <count>",
        "what (is|was|did i get for|did i say for) bay <count>", "what is the opening [of bay <count>]",
        "what was the opening [of bay <count>]",
        "(what is|what was) the (bottom|opening) (on|in|for) bay <count>", "what did i measure", "what did i say", "how wide is it",
        "the measurements [of bay <count>]",
        "openings [of bay <count>]", "what are the openings [of bay <count>]",
    ),
    _also(
        Act.WHICH_TOP,
        "(what is|what was|read me|tell me|repeat) the top (opening|measurement|length|one) [again|of this bay|in this bay]",
        "what did i (say|give you|measure|call) for the top [of bay <count>]", "how (wide|long) is the top [of bay <count>]",
        "(what is|what was) bay <count> top", "(what is|what was) the top again", "top of bay <count>",
        "(what is|what was) the top (on|in|for) bay <count>",
    ),
    _also(
        Act.WHICH_SETTINGS, "what is the (picket|largest gap|picket width|width|limit|max|setting)",
        "what are the (pickets|palings|boards|slats|settings)",
        "how wide are the (pickets|palings|boards|slats)", "what is the largest gap", "what is my limit", "what limit",
        "what (pickets|palings|boards|slats)",
        "what picket [width]", "read me the settings", "what did i say for the (picket|gap|pickets|largest gap)",
        "what is the (biggest|max|most) gap",
    ),
    _also(
        Act.SET_BOTTOM,
        "[the] bottom [one] (reads|measures|comes to|should be|should have been|at|of|comes in at|goes|says) <length>",
        "<length> (at|on|for|across|along) (the bottom|bottom)",
        "bottom opening (is|was) <length>", "[the] bottom is actually <length>",
        "(change|make|set) [the] bottom [opening] [to] <length>",
        "<length> bottom", "down (low|below|at the bottom) <length>", "bottom measurement [is] <length>",
        "at the bottom [it is] <length>",
        "along the bottom [it is] <length>", "i (have|get|got|make it) <length> (at|on) the bottom",
    ),
    _also(
        Act.SET_TOP,
        "[the] top [one] (reads|measures|comes to|should be|should have been|at|of|comes in at|goes|says) <length>",
        "<length> (at|on|for|across|along|up) (the top|top)",
        "top opening (is|was) <length>", "[the] top is actually <length>", "(change|make|set) [the] top [opening] [to] <length>",
        "<length> top", "up (high|top|at the top) <length>", "top measurement [is] <length>", "at the top [it is] <length>",
        "along the top [it is] <length>", "i (have|get|got|make it) <length> (at|on) the top",
    ),
    _also(
        Act.SET_BOTTOM,
        "[change|make|set] [the] bottom (of|on|in|for) bay <count> [is|was|to|should be|should have been|reads] <length>",
        "[change|make|set] bay <count> [the] bottom [is|was|to|should be|should have been] <length>",
    ),
    _also(
        Act.SET_TOP,
        "[change|make|set] [the] top (of|on|in|for) bay <count> [is|was|to|should be|should have been|reads] <length>",
        "[change|make|set] bay <count> [the] top [is|was|to|should be|should have been] <length>",
    ),
    _also(
        Act.BOTH,
        "both (are|is|at|read|measure|sides|rails|openings|ends|of them) <length>", "[they are] both (of them|the same) <length>",
        "top and bottom [are|is|both] <length>",
        "bottom and top [are|is|both] <length>", "<length> top and bottom", "<length> bottom and top", "<length> (for|at) both",
        "<length> both (ends|rails|ways)",
        "<length> all (the way|round|over)", "the same <length>", "<length> square",
        "<length> (at the top and bottom|at top and bottom)", "<length> and the same [at the top]",
        "<length> (same|the same) (top and bottom|both|for both|at the top|up top)", "<length> and top the same",
        "<length> parallel", "<length> (for|on) the lot",
    ),
    _also(Act.SET_MIDDLE, "[the] middle (is|was) <length>", "middle <length>"),
    _also(
        Act.MORE_PICKETS,
        "(one|an) (extra|additional) (picket|paling|board|slat)",
        "(another|an extra|add another|put another|put in another|add one more|add an extra) (picket|paling|board|slat)",
        "one (picket|paling|board|slat) more",
        "(put|squeeze|fit|add) (one more|another|one more picket|another picket|another one) [in]", "one more [in there|please]",
        "add (a|one) (picket|paling|board|slat)",
        "(smaller|tighter|closer|less) (gap|gaps)", "tighten [it|them] up", "tighter", "add one", "[make] the gap smaller",
        "gap is too (big|wide)", "too (big|wide)", "closer together",
        "with one more", "try one more [picket]", "what about one more [picket]", "with one more picket", "too far apart",
    ),
    _also(
        Act.FEWER_PICKETS,
        "(take|leave|drop) one [picket] out", "(lose|drop|take out|leave out|remove) (one|a|a picket|one picket)",
        "one (less|fewer) [please]", "one fewer (paling|board|slat)",
        "(bigger|wider|larger|more) (gap|gaps)", "open [it|them] up", "wider", "[make] the gap (bigger|wider)",
        "gap is too (small|tight|narrow)", "too (small|tight|narrow)",
        "one (paling|board|slat|picket) (less|fewer)", "further apart", "take one (away|off)", "with one less",
        "try one (less|fewer)", "too close together", "(take|lose) a (picket|paling|board|slat)",
    ),
    _also(
        Act.CHANGE_BAY,
        "(measure|remeasure|redo|fix|change|edit|correct) bay <count> [again]",
        "(redo|remeasure|change|fix|correct) (that|this|the last) (bay|one)", "bay <count> is (wrong|not right|out|off)",
        "i got bay <count> wrong", "(let me|i need to|i want to) (change|fix|redo|remeasure) bay <count>",
        "measure (this bay|it|the last bay) again", "do bay <count> again",
        "[go] back and (change|fix|redo) bay <count>", "open bay <count> [again]", "reopen bay <count>",
        "let me measure that again", "do (that|this) bay again", "bay <count> again",
    ),
    _also(
        Act.REMOVE_BAY,
        "(scrap|remove|delete|bin|ditch|lose|drop|get rid of|take out|throw out|forget|cancel) bay <count>",
        "(scrap|remove|delete|bin|ditch|lose|drop|get rid of|forget|cancel|take out) (that|this|the last) (bay|gate|one)",
        "there is no bay <count>", "take bay <count> (out|off|away)", "(scrap|remove|delete) gate <count>",
    ),
    _also(
        Act.SET_PICKET,
        "(pickets|palings|boards|slats) (is|at|of|measure|come at|come in at) <length> [wide|each]",
        "<length> (pickets|palings|boards|slats)", "(pickets|palings|boards|slats) [are] <length> (wide|each)",
        "(picket|paling|board|slat) (is|width is|width of) <length> [wide]",
        "(the|my|our|these) (pickets|palings|boards|slats) are <length> [wide]",
        "(using|use|with|i have|we have|we are using|i am using) <length> (pickets|palings|boards|slats)",
        "<length> wide (pickets|palings|boards|slats)", "width <length>", "width is <length>",
        "(change|make|set) [the] (pickets|palings|boards|slats|picket width) [to] <length>", "a <length> (picket|paling|board|slat)",
        "(picket|paling|board|slat) <length>",
        stages=frozenset({Stage.ASK, Stage.HUB}),
    ),
    _also(
        Act.SET_LARGEST_GAP,
        "[the] (max|maximum|largest|biggest|most) [gap|gaps|space|spaces] (is|of|are|at|no bigger than|no more than|up to) <length>",
        "[the] (gap|gaps|space|spaces) (is|of|are|at|to be|no bigger than|no larger than|no wider than|not over|not bigger than|max|"
        "up to|at most)"
        " <length> [max|maximum|or less|tops|at most]", "<length> (gap|gaps) (max|maximum|or less|tops|at most)",
        "(max|maximum|largest|biggest) (gap|space|gaps) [is|of|at] <length>", "<length> [max|maximum] (gap|gaps|space)",
        "<length> (or less|tops|at most|at the most|and no more|or under|limit|is the limit|is the max|is the most)",
        "(no bigger than|no wider than|no larger than|up to|at most|not over|nothing over|nothing bigger than|max of|maximum of|not "
        "bigger than) <length>",
        "(change|make|set) [the] (gap|largest gap|max gap|limit) [to] <length>",
        "[the] gap (can not|must not|should not|can't) (be|go) (over|more than|above) <length>", "limit [is] <length>",
        stages=frozenset({Stage.ASK, Stage.HUB}),
    ),
    _also(
        Act.SET_GAP_UNDER,
        "[the] [gap|gaps] [has to be|have to be|must be|needs to be|need to be|is|are|should be] (under|less than|smaller than|below) "
        "<length>", "it (has to be|must be|needs to be|should be) (under|less than|below) <length>",
        "keep (it|them|the gap|the gaps) (under|below|less than) <length>",
        "anything (under|below|less than) <length>", "(just|has to be|must be) (under|below) <length>", "(smaller than|below) <length>",
        stages=frozenset({Stage.ASK, Stage.HUB}),
    ),
    _also(Act.WORK_MM, "metric", "millimetres", "millimeters", "use (millimetres|metric|millimeters)",
        "(switch|change) to (millimetres|metric)", "in (millimetres|metric)",
          "we are [working] in (millimetres|metric)", "let us work in (millimetres|metric)"),
    _also(Act.WORK_INCHES, "imperial", "inches", "use (inches|imperial)", "(switch|change) to (inches|imperial)",
        "in (inches|imperial)", "we are [working] in (inches|imperial)", "let us work in inches",
          "work in imperial"),
    _also(Act.WORK_FEET, "feet and inches", "use feet and inches", "(switch|change) to feet [and inches]", "in feet and inches",
        "we are [working] in feet and inches"),
    _also(Act.CENTRES, "(mark|to|on) [the] centres", "(mark|to|on) [the] centers", "centre marks", "centre to centre", "centers",
        "mark the (middles|middle of each)", "use centres"),
    _also(Act.LEFT_EDGES, "[to|on] the left edges", "left edge", "mark the left (edge|edges|side)", "left hand edges",
        "use left edges"),
    _also(Act.RIGHT_EDGES, "[to|on] the right edges", "right edge", "mark the right (edge|edges|side)", "right hand edges",
        "use right edges"),
    _also(Act.FROM_LEFT, "[measure|measuring|work|working|start|starting|go] from the left [post|side|hand side|end]",
        "left to right", "hook on the left [post]"),
    _also(Act.FROM_RIGHT, "[measure|measuring|work|working|start|starting|go] from the right [post|side|hand side|end]",
        "right to left", "hook on the right [post]"),
    _also(Act.ENDS_GAP, "start and (finish|end) with a gap", "gap each end", "gap (at|on) each end",
        "a gap at (both|each) (ends|end)", "gaps at both ends", "gap beside the posts"),
    _also(Act.ENDS_PICKET, "start and (finish|end) with a (picket|paling|board|slat)", "picket each end",
        "(picket|paling|board|slat) (at|on) each end", "pickets at both ends", "picket hard against the post",
          "pickets hard against the posts", "picket against each post"),
    _also(Act.ENDS_HALF, "half gap each end", "half gaps at both ends", "half gap at each end", "half gaps each end"),
    _also(Act.SHORT_ANSWERS, "(keep it|be) (short|brief)", "shorter answers", "less talk", "less talking", "talk less",
        "just the numbers", "cut the chat", "keep it brief"),
    _also(Act.FULL_ANSWERS, "longer answers", "talk more", "say more", "more detail", "tell me everything"),
    _also(
        Act.CONFIRM_GAP,
        "[yes|yep|yeah] gap confirmed", "[yes|yep|yeah] confirmed", "i confirm (the gap|that|it)",
        "[yes|yep|yeah] [the|that] gap is (right|good|fine|correct|confirmed|okay|ok|all right|spot on)",
        "(happy|i am happy) with (the|that) gap", "confirm [that|it]", "gap (good|ok|okay|fine|correct)", "good gap",
        "that gap (is good|will do|is right|works)", "the gap is confirmed", "yes confirm [it|the gap|that]", "gap confirm",
    ),
    _also(Act.UNDERSTOOD, "[yes|yep|yeah|ok] understood", "i understand", "i understood", "(yes|yep|yeah|ok) i understand",
        "understand", "all understood", "caution is understood", "understood thanks"),
    _also(
        Act.GO_MARK,
        "(skip|jump|go|move|take me|on|back|straight|go back) to [mark|picket|paling|board|slat|number] <count>",
        "mark number <count>", "(what is|give me|read me|read|say) [mark|picket|paling|board|slat|number] <count>",
        "(picket|paling|board|slat) number <count>", "the <count> (mark|picket|paling|board|slat|one)",
        "<count> (mark|picket|paling|board|slat)", "number <count>", "where does (picket|paling|board|slat) <count> go",
        "where is [mark|picket|paling|board|slat] <count>",
    ),
    _also(
        Act.HOW_MANY_LEFT,
        "how many (marks|pickets|more|palings|boards|slats) (left|to go|are left|are there|more|do i have left|have i got left|have i "
        "got to go)", "how many (have i|have we|do i have|do we have) (got|left|got left|to go|got to go)",
        "how (far|much) (to go|is left|left|more|longer|have i got)", "(am i|are we) (nearly|almost) (there|done|finished)",
        "how many marks", "what is left", "many left", "how long to go", "how many [more] marks to go",
        "how many to do", "anything left", "how many left (to go|to do)", "have i missed any", "did i (miss|skip) any",
        "which (ones|marks) (are left|did i miss|have i missed|are missing)",
    ),
    _also(
        Act.WHERE,
        "where (was|am|are|were) (i|we) (up to|at|now|again)",
        "(what|which) (mark|one|bay|rail|picket) (am i|are we|is this|was i|are you) [on|at|up to]",
        "what am i (on|doing|up to|marking)", "which bay [is this]", "which rail [is this]",
        "what bay [is this]", "what rail [is this]", "where did (i|we) (get|get up) to", "what was i (on|doing|up to)",
        "where are you [up to]", "which one [is this|was that|is that|was it]",
    ),
    _also(Act.NEXT_RAIL, "(go to|do|on to|now|start) the (next|other) rail", "the (next|other) rail", "change rail", "switch rail",
        "other rail please"),
    _also(Act.RAIL_BOTTOM, "(go to|do|now|mark|start|on to|back to) [the] bottom rail", "[go] back to the bottom rail",
        "the bottom rail", "bottom one"),
    _also(Act.RAIL_MIDDLE, "(go to|do|now|mark|start|on to|back to) [the] middle rail", "the middle rail"),
    _also(Act.RAIL_TOP, "(go to|do|now|mark|start|on to|back to) [the] top rail", "[go] back to the top rail", "the top rail", "top one"),
    _also(
        Act.RESPACE,
        "(that|this|the last|a|the) (picket|paling|board|slat|one) (slipped|moved|is off|has slipped|has moved|shifted|is out)",
        "i (nailed|put) (one|that|it) (off|wrong|in the wrong place|out)", "one slipped", "i missed the mark", "it slipped",
        "(picket|paling|board|slat) (moved|shifted|off|is off|out)", "respace [it|from here|the rest]", "space the rest again",
        "a picket slipped", "nailed (it|one) wrong",
        "(picket|paling|board|slat) <count> (slipped|moved|is off|has slipped|has moved|is out|shifted)",
    ),
    _also(Act.CALL_EVERY, "(every|call me every|one every|call them every|a mark every|next every) <count> seconds",
        "call [one] every <count>"),
    _also(
        Act.HOLD,
        "wait", "pause", f"(wait|hang on|hold on|hold up) a {_MOMENT}", f"just a {_MOMENT}", f"(one|half a) {_MOMENT}", "give (me|"
        f"us) a {_MOMENT}", "(hang on|hold on|wait) mate", "hold up", "wait up", "not so fast", "hold it", "hold your horses", "bear "
        "with me",
        "wait there", "wait for me", "stop for a minute",
    ),
    _also(Act.CARRY_ON, "resume", "let us (go on|carry on|continue|keep going)", "go ahead", "back to it", "on we go",
        "where we left off", "pick up where we left off", "off we go", "back to marking", "continue marking", "i am ready",
        "keep on", "right carry on"),
    _also(Act.FASTER, "speed up", "speak faster", "talk faster", "quicker", "a bit faster", "go faster", "hurry up", "too slow",
        "faster please"),
    _also(Act.SLOWER, "speak slower", "talk slower", "slower please", "a bit slower", "go slower", "too fast", "not so quick",
        "more slowly", "slow down [a bit|please]", "speak slowly"),
    _also(Act.LOUDER, "turn it up", "turn up", "volume up", "i (can not|cannot|can't) hear you", "louder please", "a bit louder",
        "speak louder", "too quiet", "speak up please"),
    _also(Act.QUIETER, "turn it down", "turn down", "volume down", "quieter please", "a bit quieter", "too loud", "not so loud",
        "keep it down", "softer"),
    _also(Act.TIMBER, "what do i need to (order|buy|get)", "(what|how much) timber do i need", "(shopping|cutting|cut|order) list",
        "materials", "(what|how many) do i (order|buy)", "what do i order", "how much wood"),
    _also(Act.TIMBER, "timber", "material", "lumber"),
    _also(Act.POSTS, "posts", "the posts", "fence posts", "where do the posts go"),
    _also(Act.SLOPE_RAKED, "raked", "it is raked", "rails follow the ground"),
    _also(Act.SLOPE_STEPPED, "stepped", "it is stepped", "rails step down"),
    _also(Act.POLE, "(make|print|give me) a story pole", "a story pole", "print the story pole", "story pole please"),
    _also(Act.UNDO, "undo please"),
    _also(
        Act.YES, "absolutely", "definitely", "certainly", "of course", "exactly", "for sure", "you bet", "too easy", "looks (good|right)",
        "good", "good as gold", "sweet", "perfect", "beauty", "no worries", "all good", "sounds (good|right)",
    ),
    _also(
        Act.HELP, "help me out", "i (do not|don't) (understand|follow|get it)", "i am confused", "what do i do", "what should i do",
        "how do i (start|begin)", "what now then",
    ),
    _also(Act.BOTH, "<length> each [way|end]", stages=_ASK),
    _also(Act.SET_BOTTOM, "bottom one (is|was) <length>", "[i got] the bottom [is] wrong it is <length>"),
    _also(Act.SET_TOP, "top one (is|was) <length>", "[i got] the top [is] wrong it is <length>"),
    _also(Act.VALUE, "opening (is|was) <length>", stages=_ASK),
    _also(Act.VALUE, "it was <length>", "it should be <length>", stages=_CHOOSE | _DOUBT),
    _also(Act.CORRECT, "neither it is <length>", "neither <length>", stages=_CHOOSE),
    _also(Act.BACK, "start (again|over|that again)", "do that again", "that one again", stages=_ASK),
    _also(Act.REPEAT, "what were (they|those)", "(is that|which is it|is it) the (bottom|top) [or the (bottom|top)]",
        "which (one|opening)"),
    _also(Act.LESS_BY, "<length> (short|shy) [of the bottom]", "<length> (shorter|smaller|under) [than the bottom]", "top <length> less"),
    _also(Act.MORE_BY, "<length> (longer|bigger|wider|over) [than the bottom]", "top <length> more"),
    _also(Act.CHANGE_BAY, "[go] back to bay <count>", stages=_ASK),
    _also(Act.NEW_BAY, "(one more|another) bay (to go|to measure|to do)", "another bay after that"),
    _also(Act.NEW_GATE, "gate", stages=_ASK),
    _also(Act.NEW_GATE, "a gate (next|here)", "gate after that"),
    _also(Act.START_MARKING, "nail it", "get marking", "start to mark", stages=_HUB),
    _also(Act.WHICH_GAP, "what gap did (you|we|i) get", "what gap (are we|am i) (using|on)"),
    _also(Act.SUMMARY, "read it all back", "read everything back", "go over it [again]", "what is in it"),
    _also(Act.MORE_PICKETS, "(put|squeeze|fit) (one more|another) (picket|paling|board|slat) in"),
    _also(Act.ENDS_PICKET, "put a (picket|paling|board|slat) against (each|both) (post|posts)"),
    _also(Act.LEFT_LEANS, "left post is (leaning|out|out of plumb|off plumb|not plumb)", "left hand post leans"),
    _also(Act.RIGHT_LEANS, "right post is (leaning|out|out of plumb|off plumb|not plumb)", "right hand post leans"),
    _also(Act.BOTH_LEAN, "both posts are (leaning|out|out of plumb|off plumb|not plumb)"),
    _also(Act.WHERE, "which (mark|one) was that", "what number (is|was) that"),
    _also(Act.HOW_MANY_LEFT, "how many more (to do|to go|are there|of them)"),
    _also(Act.CARRY_ON, "keep them coming", "keep em coming"),
    _also(Act.RESPACE, "i have (stuffed|mucked|messed) (one|that one) up", "i (stuffed|mucked|messed) (one|that one) up"),
    _also(Act.ALL_MEASURED, "no more after (that|this)", "that is all she wrote", "that is a wrap", "that is us"),
    _also(Act.IN_ALL, "how many (pickets|palings|boards|slats) so far"),
    _also(Act.WHICH_LIMITS, "what limits (are there|do you have|do you know)", "what are the limits", "what limits can i use"),
    _also(
        Act.SET_LARGEST_GAP,
        "[it] (can not|cannot|can't|must not|should not|shouldn't) (be|go) (more|bigger|over|wider|larger|past) [than] <length>",
        stages=frozenset({Stage.ASK, Stage.HUB}),
    ),
    _also(
        Act.END, "knock off [for today]", "call it a day", "that is me for today", "that is me done [for today]", "finish up", "home time",
        "i am (off|going home|knocking off)", "see you tomorrow", "bye", "shut down", "close [it] down", "good night",
        "that is it for the day",
        "done for the day", "pack up", "packing up",
    ),
)
"""Understood, not listened for."""

_ONE_FOR_ANOTHER = {
    "what's": "what is", "that's": "that is", "it's": "it is", "i'm": "i am", "we're": "we are", "they're": "they are",
    "there's": "there is",
    "let's": "let us", "lets": "let us", "i've": "i have", "we've": "we have", "didn't": "did not", "don't": "do not",
    "isn't": "is not", "haven't": "have not",
    "where's": "where is", "won't": "will not", "we'll": "we will", "i'll": "i will", "you've": "you have", "how's": "how is",
        "that'll": "that will", "it'll": "it will",
    "whats": "what is", "thats": "that is",
    "its": "it is", "im": "i am", "dont": "do not", "okay": "ok", "center": "centre", "centers": "centres", "meters": "metres",
    "millimeters": "millimetres",
    "stringer": "rail", "stringers": "rails", "panel": "bay", "panels": "bays", "section": "bay", "sections": "bays", "span": "bay",
    "spans": "bays",
    "pale": "paling", "pales": "palings", "batten": "slat", "battens": "slats", "upright": "picket", "uprights": "pickets",
    "vertical": "picket", "verticals": "pickets",
    "plank": "board", "planks": "boards", "stave": "picket", "staves": "pickets", "baluster": "picket", "balusters": "pickets",
    "spindle": "picket", "spindles": "pickets",
    "spacing": "gap", "spacings": "gaps", "reveal": "opening", "reveals": "openings",
    "chuck": "put", "bung": "put", "whack": "put", "throw": "put", "btm": "bottom", "gimme": "give me", "wanna": "want to",
        "gonna": "going to", "cos": "because", "biggest": "largest",
    "maximum": "max", "upper": "top", "lower": "bottom",
}  # fmt: skip
"""Other names and spellings, each for the one on its right."""
_BEFORE = frozenset(
    (
        "ok", "right", "righto", "so", "um", "uh", "er", "ah", "oh", "well", "now", "then", "alright", "actually", "hey", "please",
        "mate", "just", "and", "but",
        "cheers", "good", "great", "yeah", "yep", "hello", "assistant", "listen", "look", "anyway", "also", "basically", "i think",
        "i reckon", "we have", "we have got", "i have", "i have got", "got", "let us say", "let us", "all good", "looks like", "i want",
        "can i", "read me", "make it", "there is", "a", "give me", "it is", "that is", "they are", "the", "can you", "could you",
        "would you", "will you", "i want to", "i would like to", "i need to", "let me", "you can", "all right", "hang on",
        "let me see", "first", "next", "for now", "mate",
    )
)  # fmt: skip
"""Manner of speaking in front of a sentence."""
_BEHIND = frozenset(
    ("please", "mate", "thanks", "cheers", "thank you", "then", "now", "for me", "i think", "i reckon", "boss", "ta", "eh",
        "if you can", "if you would", "will you", "would you", "here", "ok", "right", "today", "buddy",
     "assistant", "this time", "again please", "bro", "love", "there", "as well", "too", "again", "on the tape", "on my tape",
     "by my tape", "to the next post")
)  # fmt: skip
"""Manner of speaking behind one."""
_BETWEEN = frozenset(("actually", "just", "um", "uh", "er", "really", "basically"))
"""Manner of speaking anywhere in one."""
_NAMES = re.compile(r"[\w'-]+")
_IS = re.compile(r"^(\w+)'s$")


def one_name(text: str) -> str:
    """The text with one name for one thing."""
    return _NAMES.sub(lambda found: _ONE_FOR_ANOTHER.get(found[0]) or _IS.sub(r"\1 is", found[0]), text)


def plainly(words: tuple[str, ...]) -> tuple[tuple[str, ...], ...]:
    """The words with one name for one thing, and ever less of the manner of speaking around them; the fullest first."""
    said = tuple(word for word in one_name(" ".join(words)).split() if word not in _BETWEEN)
    found = [said]
    for shorter in found:  # grows while it is read
        for size in (3, 2, 1):
            if len(shorter) > size:
                if " ".join(shorter[:size]) in _BEFORE:
                    found.append(shorter[size:])
                if " ".join(shorter[-size:]) in _BEHIND:
                    found.append(shorter[:-size])
    return tuple(dict.fromkeys(found))
