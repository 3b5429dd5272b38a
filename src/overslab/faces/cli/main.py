"""The commands. Only typer is imported here; rooms load once the arguments are good."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Annotated

import typer

from overslab import __version__
from overslab.faces.cli.outcome import guarded, quiet_interrupt
from overslab.faces.cli.work import steps_of_work

ABOUT = """From a field book of laser shots to a new concrete top over a settled slab.

Answers go to the terminal, faults to the error stream. Exit codes: 0 fine, 1 something given
is faulty, 2 the command was not understood, 3 no top can meet the wishes, 70 a fault of the
program."""

app = typer.Typer(
    name="overslab",
    help=ABOUT,
    add_completion=False,
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 96},
)

JobFolder = Annotated[
    Path, typer.Argument(metavar="JOB", help="The job folder: job.toml, shots.csv, rates.toml.")
]
AsJson = Annotated[
    bool,
    typer.Option("--json", help="Print JSON: SI values, the unit at the end of each key."),
]


@app.callback(invoke_without_command=True)
def overslab(
    version: Annotated[bool, typer.Option("--version", help="Print the version.")] = False,
) -> None:
    if version:
        typer.echo(f"overslab {__version__}")
        raise typer.Exit


def _verb(room: str) -> Callable[[Path, bool], None]:
    def command(job: JobFolder, as_json: AsJson = False) -> None:
        from overslab.faces.cli.walks import answer_of

        answer_of(room, folder=job, as_json=as_json)

    return guarded(command)


def _bid(
    job: JobFolder,
    as_json: AsJson = False,
    each_wish: Annotated[
        bool,
        typer.Option("--each-wish", help="What each wish adds as a whole; designs again for each."),
    ] = False,
) -> None:
    from overslab.faces.cli.walks import answer_of

    answer_of("price", folder=job, as_json=as_json, each_wish=each_wish)


for _step in steps_of_work():
    app.command(
        _step.verb,
        help=f"{_step.question} Runs every room up to and including {_step.room}.",
        short_help=_step.question,
    )(guarded(_bid) if _step.room == "price" else _verb(_step.room))


@app.command()
@guarded
def plan(
    job: JobFolder,
    out: Annotated[
        Path | None, typer.Option("--out", help="Where the packet goes; else JOB/packet.")
    ] = None,
    paper: Annotated[
        bool, typer.Option("--paper/--no-paper", help="Write the packet, or only print.")
    ] = True,
    as_json: AsJson = False,
) -> None:
    """The whole walk: every room, then the packet on paper."""
    from overslab.faces.cli.walks import whole_walk

    whole_walk(job, out=out, paper=paper, as_json=as_json)


@app.command(short_help="The proposal for the customer.")
@guarded
def propose(
    job: JobFolder,
    out: Annotated[
        Path | None, typer.Option("--out", help="Where the proposal goes; else JOB/proposal.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """The proposal for the customer as PDF: sale prices only, apart from the crew's packet."""
    from overslab.faces.cli.proposing import propose_job

    propose_job(job, out=out, as_json=as_json)


@app.command()
@guarded
def demo(
    name: Annotated[
        str, typer.Argument(metavar="[NAME]", help="Which sample job; all are made up.")
    ] = "farm-shop",
    out: Annotated[
        Path | None, typer.Option("--out", help="Where the job folder goes; else demo/NAME.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Copy a sample job, walk it, and write its packet."""
    from overslab.faces.cli.walks import walk_sample

    walk_sample(name, out=out, as_json=as_json)


@app.command(short_help="Write a commented job to start from.")
@guarded
def new(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="Where the new job folder goes.")],
    as_json: AsJson = False,
) -> None:
    """Write a commented job to start from; nothing is ever written over."""
    from overslab.faces.cli.walks import begin

    begin(folder, as_json=as_json)


@app.command(short_help="What a change of a job changes.")
@guarded
def revise(
    old: Annotated[
        Path, typer.Argument(metavar="OLD", help="The folder of the version before the change.")
    ],
    new: Annotated[Path, typer.Argument(metavar="NEW", help="The folder of the version after it.")],
    out: Annotated[
        Path | None,
        typer.Option("--out", help="Where the letter and the page of money go, as PDF."),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Two versions of a job beside each other: what was typed, heights, concrete, rules, price, and
    which sheets to take back. Both stay as they are."""
    from overslab.faces.cli.revisions import tell_difference

    tell_difference(old, new, out=out, as_json=as_json)


@app.command(short_help="Any formula of the handbook with its working.")
@guarded
def calc(
    formula: Annotated[
        str | None,
        typer.Argument(metavar="[NAME]", help="The formula; without a name, all are listed."),
    ] = None,
    values: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[key=value]...",
            help="Its values; a bare number is in the SI unit its key ends in. Several: a; b; c.",
        ),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Any formula of the handbook with its working: equation, numbers filled in, result, source."""
    from overslab.faces.cli.calculate import calculate, list_formulas

    if formula is None:
        list_formulas(as_json=as_json)
    else:
        calculate(formula, values or [], as_json=as_json)


@app.command(short_help="Rates to a table and back.")
@guarded
def rates(
    job: JobFolder,
    out: Annotated[
        Path | None, typer.Option("--out", help="Write the job's rates to this CSV file.")
    ] = None,
    take: Annotated[
        Path | None,
        typer.Option("--take", help="Put the rates of this CSV file into the job's rates.toml."),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Rates to a table and back: --out writes a CSV file, --take reads it into rates.toml."""
    from overslab.faces.cli.rating import carry_rates

    carry_rates(job, out=out, take=take, as_json=as_json)


@app.command(short_help="Write a job out for other programs.")
@guarded
def export(
    job: JobFolder,
    out: Annotated[
        Path | None, typer.Option("--out", help="Where the files go; else JOB/exports.")
    ] = None,
    only: Annotated[
        str | None,
        typer.Option(
            "--only",
            metavar="FORMS",
            help="Only these, parted by commas: ics, csv, landxml, dxf, geojson, glb.",
        ),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Write a job out for other programs: calendar, tables, surfaces. The bid is among them."""
    from overslab.faces.cli.exporting import export_job

    export_job(job, out=out, only=only, as_json=as_json)


DataFolder = Annotated[
    Path | None,
    typer.Option(
        "--data",
        envvar="OVERSLAB_DATA",
        help="Where the jobs lie; else the folder overslab in your home folder.",
    ),
]
Database = Annotated[
    str | None,
    typer.Option(
        "--database",
        envvar="OVERSLAB_DATABASE",
        help="Another store than the file in the data folder: postgresql+psycopg://...",
    ),
]


@app.command(short_help="Serve jobs from this laptop to phones.")
@guarded
def serve(
    data: DataFolder = None,
    database: Database = None,
    port: Annotated[
        int, typer.Option("--port", min=1, max=65535, help="Port of the open line.")
    ] = 8700,
    secure_port: Annotated[
        int, typer.Option("--secure-port", min=1, max=65535, help="Port of the https line.")
    ] = 8743,
    phones: Annotated[
        bool | None,
        typer.Option(
            "--phones/--laptop-only",
            help="Let phones in, or shut them out; else as the owner last left it.",
        ),
    ] = None,
    address: Annotated[
        str | None,
        typer.Option("--address", help="Which of the laptop's addresses phones come in by."),
    ] = None,
    name: Annotated[
        list[str] | None,
        typer.Option("--name", help="A further host name to answer to; may be given again."),
    ] = None,
    browser: Annotated[
        bool, typer.Option("--browser/--no-browser", help="Open the first page, or only say where.")
    ] = False,
) -> None:
    """Serve jobs from this laptop: to itself at once, to phones when the owner lets them in."""
    from overslab.faces.cli.serving import serve_jobs

    serve_jobs(
        data=data,
        database=database,
        port=port,
        secure_port=secure_port,
        phones=phones,
        address=address,
        names=name or [],
        browser=browser,
    )


@app.command(short_help="One backup more of all jobs.")
@guarded
def backup(
    to: Annotated[
        Path | None, typer.Argument(metavar="[FOLDER]", help="Where it goes; else the usual place.")
    ] = None,
    data: DataFolder = None,
    database: Database = None,
    as_json: AsJson = False,
) -> None:
    """One backup more of all jobs and pictures, while the service runs or not."""
    from overslab.faces.cli.serving import back_up

    back_up(to, data=data, database=database, as_json=as_json)


@app.command(short_help="Bring a backup back.")
@guarded
def restore(
    file: Annotated[Path, typer.Argument(metavar="BACKUP", help="The backup, a file.")],
    data: DataFolder = None,
    database: Database = None,
    as_json: AsJson = False,
) -> None:
    """Bring a backup back; the store that is there is set aside, never thrown away."""
    from overslab.faces.cli.serving import bring_back

    bring_back(file, data=data, database=database, as_json=as_json)


def run() -> None:
    """The way in of the ``overslab`` command."""
    # The matrices of a floor are small: threads spend longer meeting than working.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            # A terminal that cannot show a sign shows "?"; it does not stop the work.
            stream.reconfigure(errors="replace")
    with quiet_interrupt():
        if _is_plain_calc(sys.argv[1:]):
            _calc_at_once(sys.argv[2:])
        else:
            app()


def _is_plain_calc(words: list[str]) -> bool:
    """A ``calc`` line without options but --json, which needs no parser of options."""
    return words[:1] == ["calc"] and not {w for w in words if w.startswith("-")} - {"--json"}


def _calc_at_once(words: list[str]) -> None:
    """Work out a plain ``calc`` line: typer's own reading of it takes far longer than the sum."""
    given = [word for word in words if word != "--json"]
    try:
        calc(given[0] if given else None, given[1:], "--json" in words)
    except typer.Exit as ended:
        sys.exit(ended.exit_code)
