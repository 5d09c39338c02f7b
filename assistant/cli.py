"""The command line: what can be asked for, and one clear line when it cannot be done; no logic of its own."""

from __future__ import annotations

import argparse
import io
import json
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

from assistant import __version__
from assistant.errors import AssistantError

EXAMPLES = """examples:
  site-assistant demo                                     the whole job from the bundled recording
  site-assistant hear bay.wav --out job                   a conversation from your own recording
  site-assistant type                                     the same conversation on the keyboard
  site-assistant solve 2160 --picket 90 --gap 100         one bay, no voice
  site-assistant solve 85-1/16 --unit in --picket 3-1/2 --gap-under 4 --json
"""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run a command; 0 when it was done, 2 when something the user can put right stood in the way, 70 for a mistake of ours."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):  # a name or a mark that the terminal has no letter for is written as its number
            stream.reconfigure(errors="backslashreplace")
    parser = _parser()
    options = parser.parse_args(arguments)
    run: Callable[[argparse.Namespace], None] | None = getattr(options, "run", None)
    if run is None:
        parser.print_help()
        return 0
    try:
        run(options)
    except AssistantError as error:
        print(f"site-assistant: {error}", file=sys.stderr)
        return 2
    except BrokenPipeError:
        # Whoever read our output has enough; Python must not complain about the pipe while it shuts down.
        sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115
        return 0
    except KeyboardInterrupt:
        print("\nStopped. Everything accepted so far is kept.", file=sys.stderr)
        return 130
    except Exception as error:
        print(f"site-assistant: There is a mistake in this program. {_kept(options, error)}", file=sys.stderr)
        return 70
    return 0


def _kept(options: argparse.Namespace, error: Exception) -> str:
    from assistant.faults import keep_fault
    from assistant.record.store import default_home

    return keep_fault(getattr(options, "home", None) or default_home(), error, " ".join(sys.argv))


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="site-assistant",
        description="Hands-free fence set-out: hears bay lengths, works out pickets and gaps exactly, speaks each mark.",
        epilog=EXAMPLES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"site-assistant {__version__}")
    commands = parser.add_subparsers(metavar="COMMAND")

    demo = _command(commands, "demo", "run the whole job from the bundled recording; no microphone, no sound card", _demo)
    demo.add_argument("--noisy", action="store_true", help="the same with building-site noise; what is not taken is said again")
    _out(demo)
    _model(demo)

    hear = _command(commands, "hear", "hold the conversation of one or more sound files", _hear)
    hear.add_argument("files", nargs="+", type=Path, metavar="FILE", help="WAV or FLAC, any rate, mono or stereo")
    hear.add_argument("--title", default="job", help="what the job is called")
    _out(hear)
    _model(hear)

    typed = _command(commands, "type", "hold the conversation on the keyboard, or from lines on a pipe", _type)
    typed.add_argument("--title", default="job", help="what a new job is called")
    typed.add_argument("--out", type=Path, default=None, help="folder for marks, sheet and story pole at the end")
    _board(typed)
    _home(typed)

    listen = _command(commands, "listen", "hold the conversation by microphone and loudspeaker", _listen)
    listen.add_argument("--title", default="job", help="what a new job is called")
    listen.add_argument("--mic", help="microphone, by name or part of it; see: site-assistant devices")
    listen.add_argument("--speaker", help="loudspeaker, by name or part of it")
    _board(listen)
    listen.add_argument("--keep-audio", type=Path, metavar="FILE", help="keep what the microphone hears; says so aloud")
    _phone(listen)
    _home(listen)
    _model(listen)

    _command(commands, "devices", "list microphones and loudspeakers", _devices)

    doctor = _command(commands, "doctor", "check model, devices, voice and disk; say what to do about each", _doctor)
    doctor.add_argument("--mic", help="microphone, by name or part of it")
    doctor.add_argument("--speaker", help="loudspeaker, by name or part of it")
    _home(doctor)
    _model(doctor)

    resume = _command(commands, "resume", "go on with a job at the very mark it was left", _resume)
    resume.add_argument("job", nargs="?", type=int, help="number of the job; the one begun last if left out")
    resume.add_argument("--type", action="store_true", help="on the keyboard, not by voice")
    resume.add_argument("--out", type=Path, default=None, help="with --type: folder for what is written at the end")
    resume.add_argument("--mic", help="microphone, by name or part of it")
    resume.add_argument("--speaker", help="loudspeaker, by name or part of it")
    _board(resume)
    _phone(resume)
    _home(resume)
    _model(resume)

    _home(_command(commands, "jobs", "list the jobs on record", _jobs))

    show = _command(commands, "show", "show a job: marks, and what was accepted when", _show)
    show.add_argument("job", nargs="?", type=int, help="number of the job; the one begun last if left out")
    _home(show)

    export = _command(commands, "export", "write a job as JSON, CSV, text, marking sheet or story-pole strips", _export)
    export.add_argument("job", nargs="?", type=int, help="number of the job; the one begun last if left out")
    export.add_argument("--as", dest="kind", choices=["json", "csv", "txt", "html", "pdf", "pole", "svg"], default="json")
    export.add_argument("--paper", choices=["a4", "letter", "roll"], default="a4", help="of the sheet and the strips")
    export.add_argument("--place", default="", help="where the fence is, for the sheet; without it there is a line to write it on")
    export.add_argument("--measured-by", default="", help="who measured, for the sheet; without it there is a line to write it on")
    export.add_argument("--out", type=Path, default=None, help="file to write; text goes to the screen without it")
    _home(export)

    delete = _command(commands, "delete", "delete a job; asks twice", _delete)
    delete.add_argument("job", type=int, help="number of the job")
    _home(delete)

    evaluate = _command(commands, "evaluate", "score a speech model on a manifest of recordings", _evaluate)
    evaluate.add_argument("manifest", type=Path, help="tab-separated: path, transcript, kind; if wanted speaker, snr_db")
    evaluate.add_argument("--grammar", type=Path, help="JSON file: phrases to listen for, for each kind")
    evaluate.add_argument("--decoys", type=Path, help="file of ordinary words listed beside the grammar")
    evaluate.add_argument("--decoy-count", type=int, default=300, help="how many of them (%(default)s)")
    evaluate.add_argument("--by-speaker", action="store_true", help="figures of each speaker too")
    evaluate.add_argument("--json", type=Path, help="file for the figures as JSON")
    evaluate.add_argument("--points", type=Path, help="JSON file: for a kind the point of the conversation it is said at")
    evaluate.add_argument("--one-ear", action="store_true", help="the first ear alone")
    evaluate.add_argument("--wrong", action="store_true", help="list what was heard wrong")
    _model(evaluate)

    solve = _command(commands, "solve", "set out one bay from its measures, without a conversation", _solve)
    solve.add_argument("opening", nargs="+", help="clear opening; give two for bottom and top")
    solve.add_argument("--picket", required=True, help="picket width")
    gap = solve.add_mutually_exclusive_group(required=True)
    gap.add_argument("--gap", help="largest gap; a gap may equal it")
    gap.add_argument("--gap-under", help="largest gap; a gap must be less")
    solve.add_argument("--unit", choices=["mm", "cm", "m", "in", "ft"], default="mm", help="unit of bare numbers")
    solve.add_argument("--to", choices=["1", "0.5", "1/16", "1/32"], help="marks to this many mm, or inches")
    solve.add_argument("--left", default="gap", help="left end: gap, picket, half, or a length")
    solve.add_argument("--right", default="gap", help="right end: gap, picket, half, or a length")
    solve.add_argument("--edge", choices=["left", "right", "centre"], default="left", help="where on a picket a mark is")
    solve.add_argument("--from", dest="origin", choices=["left", "right"], default="left", help="post measured from")
    solve.add_argument("--share-lean", action="store_true", help="two openings: every gap shares the difference, pickets lean")
    solve.add_argument("--json", action="store_true", help="print JSON with exact fractions")
    return parser


def _command(
    commands: argparse._SubParsersAction[argparse.ArgumentParser],
    name: str,
    help_text: str,
    run: Callable[[argparse.Namespace], None],
) -> argparse.ArgumentParser:
    command = commands.add_parser(name, help=help_text, description=help_text[:1].upper() + help_text[1:] + ".")
    command.set_defaults(run=run)
    return command


def _out(command: argparse.ArgumentParser) -> None:
    command.add_argument("--out", type=Path, default=Path("site-assistant-out"), help="folder for what is written (%(default)s)")


def _board(command: argparse.ArgumentParser) -> None:
    command.add_argument("--board", action="store_true", help="serve a page with the current mark, large, on this machine")
    command.add_argument("--lan", action="store_true", help="with --board: let other devices here see it, by a one-time code")


def _phone(command: argparse.ArgumentParser) -> None:
    command.add_argument("--phone", action="store_true", help="a phone on this network is microphone and loudspeaker")
    command.add_argument("--phone-certificate", type=Path, metavar="FILE", help="your own certificate (PEM), with --phone-key")
    command.add_argument("--phone-key", type=Path, metavar="FILE", help="the key of your own certificate (PEM)")


def _model(command: argparse.ArgumentParser) -> None:
    command.add_argument("--model", help="speech model: a folder, or the name of one under models/")


def _home(command: argparse.ArgumentParser) -> None:
    command.add_argument("--home", type=Path, help="folder of the job records")


def _demo(options: argparse.Namespace) -> None:
    from assistant import app

    app.demo(options.noisy, options.out, options.model)


def _hear(options: argparse.Namespace) -> None:
    from assistant import app

    app.hear(options.files, options.out, options.model, options.title)


def _type(options: argparse.Namespace) -> None:
    from assistant import app

    app.type_job(options.home, options.title, options.out, board=options.board, lan=options.lan)


def _listen(options: argparse.Namespace) -> None:
    from assistant import live_wiring

    live_wiring.listen_new(options.home, options.title, live_wiring.Wiring.of(options))


def _resume(options: argparse.Namespace) -> None:
    from assistant import app, live_wiring

    if options.type:
        app.resume_typing(options.home, options.job, options.out, board=options.board, lan=options.lan)
    else:
        live_wiring.listen_again(options.home, options.job, live_wiring.Wiring.of(options))


def _devices(options: argparse.Namespace) -> None:
    from assistant import live_wiring
    from assistant.display.lines import shown

    live_wiring.show_devices(shown)


def _doctor(options: argparse.Namespace) -> None:
    from assistant import live_wiring
    from assistant.display.lines import shown

    live_wiring.examine(options.home, live_wiring.Wiring.of(options), shown)


def _jobs(options: argparse.Namespace) -> None:
    from assistant.display.lines import shown
    from assistant.job_commands import list_jobs

    list_jobs(options.home, shown)


def _show(options: argparse.Namespace) -> None:
    from assistant.display.lines import shown
    from assistant.job_commands import show_job

    show_job(options.home, options.job, shown)


def _export(options: argparse.Namespace) -> None:
    from assistant.job_commands import export_job

    export_job(options.home, options.job, options.kind, options.paper, options.out, print, options.place, options.measured_by)


def _delete(options: argparse.Namespace) -> None:
    from assistant.display.lines import shown
    from assistant.job_commands import delete_job

    delete_job(options.home, options.job, input, shown)


def _evaluate(options: argparse.Namespace) -> None:
    from assistant.points import read_points
    from assistant.speech import evaluate

    evaluate.run(options, read_points(options.points) if options.points else None)


def _solve(options: argparse.Namespace) -> None:
    from assistant.solve_command import Request, report, solved, text

    request = Request(
        openings=tuple(options.opening),
        picket=options.picket,
        gap=options.gap if options.gap is not None else options.gap_under,
        strict=options.gap is None,
        unit=options.unit,
        to=options.to,
        left=options.left,
        right=options.right,
        edge=options.edge,
        origin=options.origin,
        share_lean=options.share_lean,
    )
    made = solved(request)
    print(json.dumps(report(made), indent=1) if options.json else text(made))
