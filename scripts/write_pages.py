"""Writes the pages and the schema that are made from the program's own records.

python scripts/write_pages.py           writes them
python scripts/write_pages.py --check   only says which are behind
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

from weatherlap.job.schema import catalogue_page, job_schema, reference_page

DOCS = Path(__file__).parents[1] / "docs"


def pages() -> dict[str, str]:
    """The text of each page by its file name."""
    return {
        "job-file.md": reference_page(),
        "catalogue.md": catalogue_page(),
        "job.schema.json": json.dumps(job_schema(), indent=2) + "\n",
    }


def main() -> int:
    """Write the pages, or name those that are behind."""
    if "--check" not in sys.argv[1:]:
        for name, text in pages().items():
            (DOCS / name).write_text(text, "utf-8")
        return 0
    behind = [n for n, t in pages().items() if (DOCS / n).read_text("utf-8") != t]
    for name in behind:
        print(f"docs/{name} is behind the records: run python scripts/write_pages.py")
    return len(behind)


if __name__ == "__main__":
    sys.exit(main())
