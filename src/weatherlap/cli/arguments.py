"""Arguments that several commands share."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from weatherlap.run.states import State

JobFile = Annotated[Path, typer.Argument(help="The job file (.toml)", show_default=False)]
AsJson = Annotated[bool, typer.Option("--json", help="Print the answer as JSON, for machines")]
As = Annotated[
    State,
    typer.Option(
        "--as",
        help="The corner as it was found, or as it will be with the job's changes made",
    ),
]
OwnTables = Annotated[
    Path | None,
    typer.Option(
        "--own",
        metavar="FOLDER",
        help="The folder of your firm's own tables (.toml), in place of those that are built in",
        show_default=False,
    ),
]
