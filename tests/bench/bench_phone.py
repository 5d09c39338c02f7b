"""From the last word to the first sound of the reply through the phone's page, over a network that is slow and loses packets.

    python tests/bench/bench_phone.py [--times 40] [--delay 0.02] [--loss 0.01]

Marks are called by “next” in a real headless browser; both times are read on the browser's own clock.  The network is
`tests/phone/poor_network.py`: each way is delayed, and a lost packet holds up what is behind it for 200 ms, as TCP does.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path

import numpy as np

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "tests" / "phone"), str(ROOT / "audio_fixtures"), str(ROOT)]

from listening import read_recording  # noqa: E402
from phone_in_hand import PhoneInHand  # noqa: E402
from phone_session import PhoneSession  # noqa: E402
from poor_network import PoorNetwork  # noqa: E402
from site_noise import noise_bed  # noqa: E402

from assistant.speech.synthesiser import Synthesiser  # noqa: E402
from assistant.speech.wav import SAMPLE_RATE, Samples  # noqa: E402

LIMIT_S = 0.9
"""What the reply may take, 95 in 100."""
TO_MARKING = (
    "ninety millimetres", "one hundred", "twelve sixty five", "the same", "no more bays", "start marking", "gap confirmed", "understood",
)  # fmt: skip


def main() -> None:
    """Prints the delays."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--times", type=int, default=40)
    parser.add_argument("--delay", type=float, default=0.02, help="seconds each way")
    parser.add_argument("--loss", type=float, default=0.01, help="share of packets")
    asked = parser.parse_args()
    recording = read_recording("job")

    def sound(words: str) -> Samples:
        line = next(line for line in recording.lines if line.words == words)
        return recording.clean[round((line.start - 0.05) * SAMPLE_RATE) : round(line.end * SAMPLE_RATE)]

    hum = np.rint(noise_bed(20, seed=1) * 100).astype(np.int16)
    delays, unanswered = [], 0
    with tempfile.TemporaryDirectory() as folder, Synthesiser() as voice, PhoneSession(Path(folder), voice) as session:
        port = int(session.server.origin.rsplit(":", 1)[1])
        with (
            PoorNetwork(port, asked.delay, asked.loss) as network,
            PhoneInHand(session.server.link, hum, network.flag) as phone,
        ):
            phone.begin()
            session.quiet()
            for words in (*TO_MARKING, *(("next", "back") * asked.times)[: asked.times]):
                before = len(session.notes.texts)
                phone.say(sound(words))
                answered = session.until(lambda before=before: len(session.notes.texts) > before, 6)  # type: ignore[misc]
                session.quiet()
                after = phone.answered_after()
                unanswered += not answered
                if answered and after is not None and words in ("next", "back"):
                    delays.append(after)
    ordered = sorted(delays)
    middle, late = ordered[len(ordered) // 2], ordered[int(len(ordered) * 0.95)]
    print(f"n {len(delays)}, not answered {unanswered}")
    print(f"median {middle * 1000:.0f} ms, p95 {late * 1000:.0f} ms (limit {LIMIT_S * 1000:.0f})")


if __name__ == "__main__":
    main()
