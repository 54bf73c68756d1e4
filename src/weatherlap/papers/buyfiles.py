"""The buy list as files that other programs open: XLSX and CSV."""

from __future__ import annotations

import csv
import io
from datetime import UTC, datetime

import xlsxwriter

from weatherlap.run.shopping import Shop
from weatherlap.takeoff.buying import BuyRow

HEADS = (
    "Counter", "Count", "Unit", "What", "Of these spare", "For", "Needed", "Weight, lb",
    "Price each, US$", "Price, US$", "Price is", "Buy", "Name in catalogue",
)  # fmt: skip
_WIDTHS = (11, 7, 9, 46, 12, 44, 22, 11, 14, 12, 10, 12, 22)
_FORMULA_STARTS = "=+-@\t\r"


def _apart(shop: Shop) -> list[BuyRow]:
    """All rows, those that stand by for hidden damage at the end."""
    return sorted(shop.rows, key=lambda row: row.stand_by)


def _cells(row: BuyRow) -> tuple[str | float | int, ...]:
    return (
        row.counter.value,
        row.count,
        row.unit,
        row.name,
        row.spare,
        ": ".join(words for words in (", ".join(row.pieces), row.why) if words),
        row.need,
        round(row.total_lb, 1),
        row.usd,
        round(row.total_usd, 2),
        "invented" if row.good.usd_invented else "the firm's",
        "stand by" if row.stand_by else "now",
        row.good.id,
    )


def buy_csv(shop: Shop) -> bytes:
    """The buy list as CSV in UTF-8, a heading and a line for each row."""
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(HEADS)
    for row in _apart(shop):
        writer.writerow([_plain(cell) for cell in _cells(row)])
    return text.getvalue().encode("utf-8-sig")


def _plain(cell: str | float | int) -> str | float | int:
    """A text that no spreadsheet takes for a formula."""
    if isinstance(cell, str) and cell[:1] in _FORMULA_STARTS and cell:
        return f"'{cell}"
    return cell


def buy_xlsx(shop: Shop) -> bytes:
    """The buy list as a workbook: totals are formulas, so that prices can be changed in it."""
    held = io.BytesIO()
    book = xlsxwriter.Workbook(held, {"in_memory": True, "strings_to_formulas": False})
    day = shop.job.job.date
    stamp = datetime.fromisoformat(day) if day else datetime(2000, 1, 1, tzinfo=UTC)
    book.set_properties({"title": f"Buy list: {shop.job.job.title}", "created": stamp})
    sheet = book.add_worksheet("Buy list")
    bold = book.add_format({"bold": True, "text_wrap": True, "bottom": 1})
    wrap = book.add_format({"text_wrap": True, "valign": "top"})
    money = book.add_format({"num_format": "#,##0.00", "valign": "top"})
    weight = book.add_format({"num_format": "#,##0.0", "valign": "top"})
    for column, (head, width) in enumerate(zip(HEADS, _WIDTHS, strict=True)):
        sheet.set_column(column, column, width)
        sheet.write_string(0, column, head, bold)
    formats = {7: weight, 8: money, 9: money}
    for line, row in enumerate(_apart(shop), start=1):
        for column, cell in enumerate(_cells(row)):
            sheet.write(line, column, cell, formats.get(column, wrap))
        sheet.write_formula(line, 9, f"=B{line + 1}*I{line + 1}", money, round(row.total_usd, 2))
    last = len(shop.rows) + 1
    sheet.write_string(last, 3, "Together, without what stands by", bold)
    together = f'=SUMIF(L2:L{last},"now",J2:J{last})'
    sheet.write_formula(last, 9, together, money, round(shop.usd, 2))
    sheet.freeze_panes(1, 0)
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)
    sheet.repeat_rows(0)
    book.close()
    return held.getvalue()
