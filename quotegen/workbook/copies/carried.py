"""A filled-in workbook carried over into a new one, with the sheets as they are today.

Every cell goes under its heading, on its row; every setting to the row of its code. Columns of the
owner's own go to the right under their own headings, sheets of the owner's own to the end. What has
no place in the new workbook is listed on a sheet of left-overs. The words and units beside a
setting, the page on filling in and the lists are the new workbook's.
"""

import tempfile
from collections.abc import Mapping
from pathlib import Path

from openpyxl import Workbook, load_workbook
from openpyxl.cell.cell import Cell
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from quotegen.machine.files import replace_file
from quotegen.problems import Place, Problem, problem
from quotegen.units import Unit
from quotegen.workbook.copies.leftovers import Carried, LeftOver, list_left_overs
from quotegen.workbook.copies.putting import (
    add_comment,
    comments_of,
    look_like,
    plain_cell,
    put,
    restyle,
)
from quotegen.workbook.copies.whole_book import WholeBook, book_bytes, whole_book
from quotegen.workbook.package.book import RawSheet
from quotegen.workbook.package.raw_cell import Raw, plain_text
from quotegen.workbook.reading.rows import headed_columns, heading_row, same_name, unit_typed
from quotegen.workbook.sheets.declaration import (
    BOOK_SHEETS,
    JOB_SHEETS,
    OUR_SHEETS,
    SETTING_SHEETS,
    sheets,
)
from quotegen.workbook.sheets.firm import SettingSheet
from quotegen.workbook.typed.words import bare
from quotegen.workbook.writing.blank import write_blank

_CARRIED_OF_SETTINGS = (SettingSheet.value, SettingSheet.basis)
_NO_COLUMN = "the new workbook has no such column"
_NO_SETTING = "the new workbook has no such setting"
_OTHER_UNIT = "the new workbook has this figure in another unit"
_ABOVE = "it stood above the headings"
_NO_RESULT = "its formula was never calculated"
_DAMAGED = "the file had it wrong"
_SAID_BEFORE = "The older workbook says"

_At = tuple[int, int]


def write_carried(old: Path, new: Path) -> Carried | Problem:
    """Write a new workbook with all that is in an old one; the old one is only read."""
    if new.exists():
        return problem("file-exists", Place(new.name), str(new))
    whole = whole_book(old)
    if isinstance(whole, Problem):
        return whole
    if not any(_declared(raw.name) for raw in whole.read.sheets):
        return problem("sheets-missing", Place(old.name))
    with tempfile.TemporaryDirectory() as folder:
        bare = Path(folder) / new.name
        found = write_blank(bare)
        if found:
            return found
        book = load_workbook(bare)
    carried = _Carrying(whole, book).carried()
    list_left_overs(book, carried.left_over)
    try:
        replace_file(new, book_bytes(book))
    except OSError as error:
        return problem("output-blocked", Place(new.name), error.strerror or str(error))
    return carried


def _declared(name: str) -> str | None:
    return next((known for known in BOOK_SHEETS if same_name(known, name)), None)


class _Carrying:
    """The old workbook, the new one, and what has been done."""

    def __init__(self, whole: WholeBook, book: Workbook) -> None:
        self.whole, self.book, self.done = whole, book, Carried()

    def carried(self) -> Carried:
        taken: set[str] = set()
        for raw in self.whole.read.sheets:
            if raw.name in OUR_SHEETS:
                continue
            name = _declared(raw.name)
            if name is None or name in taken:
                self._own_sheet(raw)
                continue
            taken.add(name)
            _Sheet(self, raw, name).carry()
        return self.done

    def _own_sheet(self, raw: RawSheet) -> None:
        old = self.whole.kept[raw.name]
        page = self.book.create_sheet(raw.name)
        self.done.own_sheets.append(page.title)
        for letter, size in old.column_dimensions.items():
            page.column_dimensions[letter].width = size.width
        comments = comments_of(old)
        for at in sorted({*raw.cells, *comments}):
            self.move(raw, at, page, at, comments)

    def move(
        self,
        raw: RawSheet,
        at: _At,
        page: Worksheet,
        to: _At,
        comments: Mapping[_At, object],
        heading: str = "",
    ) -> None:
        """Carry a cell and its comment to a place; what cannot be carried is left over."""
        found, cell, old_page = raw.cells.get(at), plain_cell(page, *to), self.whole.kept[raw.name]
        why = ""
        if found and not found.calculated:
            why = _NO_RESULT
        elif found and found.damaged:
            why = _DAMAGED
        if why and found:
            self.leave(raw, at, why, heading)
        elif found and not found.merged:
            old = old_page.cell(*at)
            assert isinstance(old, Cell)
            put(cell, found, old)
            self.done.cells += 1
        if at in comments:
            comment = old_page.cell(*at).comment
            assert comment is not None
            add_comment(cell, comment.text, comment)
            self.done.comments += 1

    def leave(self, raw: RawSheet, at: _At, why: str, heading: str = "") -> None:
        """Put a cell on the list of left-overs."""
        cell, comment = raw.cells.get(at), self.whole.kept[raw.name].cell(*at).comment
        address = f"{get_column_letter(at[1])}{at[0]}"
        said = (cell.formula if not cell.calculated else cell.value) if cell else None
        note = comment.text if comment else ""
        if said is not None or note:
            text = "" if said is None else str(said)
            self.done.left_over.append(LeftOver(raw.name, address, heading, text, note, why))


class _Sheet:
    """One declared sheet: where its headings were and are, and which column is which."""

    def __init__(self, carrying: _Carrying, raw: RawSheet, name: str) -> None:
        self.carrying, self.raw, self.name = carrying, raw, name
        self.sheet = sheets()[name]
        self.page = carrying.book[name]
        self.comments = comments_of(carrying.whole.kept[raw.name])
        self.old_head = heading_row(raw, self.sheet)
        known, _ = headed_columns("", raw, self.sheet, self.old_head)
        self.known = {number: column for column, number in known.items()}
        self.new_head = self._head_of_new()
        self.new_numbers = self._numbers_of_new()
        self.worked_out = self._worked_out()
        self.own: dict[int, int] = {}

    def carry(self) -> None:
        """Carry the whole sheet."""
        settings = self.name in SETTING_SHEETS
        entries = [at for at in self.raw.cells if at[0] > self.old_head and self._filled(at)]
        if entries and not settings:
            self._clear()
        lines = self._lines_of_settings() if settings else {}
        self._drop_bases(lines)
        for at in sorted({*self.raw.cells, *self.comments}):
            line = at[0]
            if at[1] in self.worked_out:
                continue
            if line < self.old_head:
                self._above(at)
            elif line == self.old_head:
                self._heading(at)
            elif settings:
                self._setting(at, lines)
            else:
                self._move(at, line - self.old_head + self.new_head)

    def _move(self, at: _At, line: int) -> None:
        column = self.known.get(at[1])
        number = self.new_numbers[column.heading] if column else self._own_column(at[1])
        heading = column.heading if column else ""
        cell, pattern = self.page.cell(line, number), self.page.cell(self.new_head + 1, number)
        if isinstance(cell, Cell) and isinstance(pattern, Cell):
            look_like(cell, pattern)
        self.carrying.move(self.raw, at, self.page, (line, number), self.comments, heading)

    def _setting(self, at: _At, lines: Mapping[int, int]) -> None:
        """Carry the value and the basis of a setting, and what is the owner's own beside it."""
        line, column = lines.get(at[0]), self.known.get(at[1])
        if line is None:
            ours = self._text(at) in self._texts_of_new
            if not ours:
                self.carrying.leave(self.raw, at, _NO_SETTING, column.heading if column else "")
        elif column in _CARRIED_OF_SETTINGS or column is None:
            if column is SettingSheet.value and self._other_unit(at[0], line):
                self.carrying.leave(self.raw, at, _OTHER_UNIT, column.heading)
            elif self._filled(at) or at in self.comments:
                self._move(at, line)
        else:
            self._beside_setting(at, plain_cell(self.page, line, self.new_numbers[column.heading]))

    def _beside_setting(self, at: _At, cell: Cell) -> None:
        """Note in a comment what the old row said otherwise, and carry its own comment."""
        text = self._text(at)
        if text and text.casefold() != plain_text(str(cell.value or "")).casefold():
            add_comment(cell, f"{_SAID_BEFORE}: {text}")
        if at in self.comments:
            note = self.comments[at]
            add_comment(cell, note.text, note)
            self.carrying.done.comments += 1

    def _drop_bases(self, lines: Mapping[int, int]) -> None:
        """Empty the basis of each figure that is another now; the older workbook's own follows."""
        number = next((n for n, c in self.known.items() if c is SettingSheet.value), 0)
        for old_line, line in lines.items():
            now = self.page.cell(line, self.new_numbers[SettingSheet.value.heading]).value
            at = (old_line, number)
            if self._filled(at) and self._text(at) != plain_text(str(now)):
                basis = self.new_numbers[SettingSheet.basis.heading]
                plain_cell(self.page, line, basis).value = None

    def _other_unit(self, old_line: int, line: int) -> bool:
        """Whether the old row names another unit; other words are the owner's."""
        number = next((n for n, c in self.known.items() if c is SettingSheet.unit), 0)
        now = self.page.cell(line, self.new_numbers[SettingSheet.unit.heading]).value
        was = unit_typed(self._text((old_line, number)))
        return was not in (Unit.NONE, unit_typed(str(now or "")))

    def _lines_of_settings(self) -> dict[int, int]:
        """The new row of each old row, by the code of its setting; the first of two counts."""
        number = self.new_numbers[SettingSheet.code.heading]
        last = self.page.max_row + 1
        new = {
            str(self.page.cell(line, number).value or "").casefold(): line
            for line in range(self.new_head + 1, last)
        }
        code = next((n for n, c in self.known.items() if c is SettingSheet.code), 0)
        found: dict[int, int] = {}
        for line, column in sorted(self.raw.cells):
            text = self._text((line, column)).casefold()
            first = text in new and new[text] not in found.values()
            if column == code and line > self.old_head and first:
                found[line] = new[text]
        return found

    def _heading(self, at: _At) -> None:
        """Carry a comment of the owner's on a heading; one not known is the owner's own."""
        column = self.known.get(at[1])
        if column is None:
            if self._filled(at):
                self._own_column(at[1])
            return
        note = self.comments.get(at)
        cell = plain_cell(self.page, self.new_head, self.new_numbers[column.heading])
        ours = note and cell.comment and cell.comment.author == note.author
        if note and not ours:
            add_comment(cell, note.text, note)
            self.carrying.done.comments += 1

    def _above(self, at: _At) -> None:
        if self._text(at) not in self._texts_of_new or at in self.comments:
            self.carrying.leave(self.raw, at, _ABOVE)

    def _own_column(self, number: int) -> int:
        """The new number of a column of the owner's own, to the right of all others."""
        if number not in self.own:
            taken = [*self.new_numbers.values(), *self.own.values(), *self._headed_in_new]
            self.own[number] = new = max(taken) + 1
            head, old_page = self.raw.cells.get((self.old_head, number)), self._old_page
            if head:
                at, to = (self.old_head, number), (self.new_head, new)
                self.carrying.move(self.raw, at, self.page, to, self.comments)
                shown = self._text(at)
                self.carrying.done.own_columns.append(f"{self.name}: {shown}")
            first = self.page.cell(self.new_head, min(self.new_numbers.values()))
            cell = self.page.cell(self.new_head, new)
            if isinstance(cell, Cell) and isinstance(first, Cell):
                look_like(cell, first)
            width = old_page.column_dimensions[get_column_letter(number)].width
            self.page.column_dimensions[get_column_letter(new)].width = width
        return self.own[number]

    @property
    def _old_page(self) -> Worksheet:
        return self.carrying.whole.kept[self.raw.name]

    def _clear(self) -> None:
        """Empty the new sheet's first rows: the example, or the figures it begins with."""
        ours = self.new_numbers.values()
        first, plain = self.new_head + 1, self.new_head + 2
        for line in range(first, self.page.max_row + 1):
            for number in ours:
                cell = plain_cell(self.page, line, number)
                cell.value = None
                if line == first and self.name in JOB_SHEETS:
                    restyle(cell, plain_cell(self.page, plain, number))

    def _head_of_new(self) -> int:
        cells = {
            (cell.row, cell.column): Raw(cell.value)
            for line in self.page.iter_rows(max_row=12)
            for cell in line
            if cell.value is not None
        }
        self._texts_of_new = self._all_texts()
        self._new_raw = RawSheet(self.name, cells)
        return heading_row(self._new_raw, self.sheet)

    def _numbers_of_new(self) -> dict[str, int]:
        found, _ = headed_columns("", self._new_raw, self.sheet, self.new_head)
        here = {at[1]: cell for at, cell in self._new_raw.cells.items() if at[0] == self.new_head}
        self._headed_in_new = list(here)
        read = set(found.values())
        self._unread = {bare(str(cell.value)) for n, cell in here.items() if n not in read}
        return {column.heading: number for column, number in found.items()}

    def _worked_out(self) -> set[int]:
        """The old columns that the new sheet has too but nobody fills in: its formulas do."""
        line = self.old_head
        heads = {at[1]: bare(self._text(at)) for at in self.raw.cells if at[0] == line}
        return {n for n, head in heads.items() if n not in self.known and head in self._unread}

    def _all_texts(self) -> set[str]:
        return {
            plain_text(str(cell.value))
            for line in self.page.iter_rows()
            for cell in line
            if cell.value is not None
        }

    def _filled(self, at: _At) -> bool:
        cell = self.raw.cells.get(at)
        return cell is not None and not cell.blank and not cell.merged

    def _text(self, at: _At) -> str:
        cell = self.raw.cells.get(at)
        return plain_text(str(cell.value)) if cell and cell.value is not None else ""
