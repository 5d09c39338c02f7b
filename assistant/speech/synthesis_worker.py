"""The process that renders speech: one request a line on standard input, one answer a line on standard output.

Crosses the border: the voice (empty: the platform's own) and the rate as arguments; JSON lines ``{"text", "path"}`` in;
``{"error": null}`` or ``{"error": "…"}`` out, once when the driver is ready and then after each file is written.  The
only file that imports pyttsx3.  It is a process of its own because the driver prints to standard output, must live in
one thread, and waits for ever when it cannot write its file.  Voice and rate stay what they are from its start to its
end: with espeak a later change is sometimes not taken up, or costs an empty file (9 of 600).
"""

from __future__ import annotations

import json
import os
import sys
from typing import IO


def serve(requests: IO[str], answers: IO[str], voice: str, rate: int) -> None:
    """Answers every request until the input ends."""
    try:
        import pyttsx3

        engine = pyttsx3.init()
        if voice:
            engine.setProperty("voice", voice)
        engine.setProperty("rate", rate)
    except Exception as error:  # whatever the driver raises, the assistant must say it in its own words
        answers.write(json.dumps({"error": f"no speech driver ({type(error).__name__}: {error})"}) + "\n")
        return
    answers.write(json.dumps({"error": None}) + "\n")
    answers.flush()
    for line in requests:
        request = json.loads(line)
        try:
            engine.save_to_file(request["text"], request["path"])
            engine.runAndWait()
            _settle()
            problem = None
        except Exception as error:
            problem = f"{type(error).__name__}: {error}"
        answers.write(json.dumps({"error": problem}) + "\n")
        answers.flush()


def _settle() -> None:
    """Waits until the espeak library has given all its sound.

    The loop of the driver ends at once on its first request.  On a busy machine the library's word that the first is finished then came
    in the middle of the second: that became a file of 44 bytes, and every one after it belonged to the request before.
    """
    library = sys.modules.get("pyttsx3.drivers._espeak")
    if library is not None:
        library.Synchronize()


def main() -> None:
    """Keeps the driver's chatter off the channel on which the answers go."""
    channel = os.fdopen(os.dup(1), "w", encoding="utf-8")
    quiet = os.open(os.devnull, os.O_WRONLY)
    os.dup2(quiet, 1)
    os.dup2(quiet, 2)
    serve(sys.stdin, channel, voice=sys.argv[1], rate=int(sys.argv[2]))
    channel.flush()
    # The espeak library can fail while it is torn down; nothing is left to do, so leave without it.
    os._exit(0)


if __name__ == "__main__":
    main()
