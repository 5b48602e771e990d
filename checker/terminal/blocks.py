"""What a document is made of. No block knows how it is shown."""

from __future__ import annotations

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence


class Paragraph:
    """Running text; `label` stands before it."""

    def __init__(self, text: str, label: str = "") -> None:
        self.text, self.label = text, label


class Item:
    """One entry of a list: a head, lines under it, a mark (`ok`, `NO`, `?`, `!`) or none.

    `code` is shown letter for letter, to be copied.
    """

    def __init__(self, head: str, lines: list[str] | None = None, mark: str = "", code: str = "") -> None:
        self.head, self.lines, self.mark, self.code = head, lines or [], mark, code


class Listing:
    """Entries one below the other, numbered from 1 or not."""

    def __init__(self, items: list[Item], numbered: bool = False) -> None:
        self.items, self.numbered = items, numbered


class Table:
    """Columns with a head; the first holds text, the others short values, shown to the right.

    `marks` stand before the rows, one for each, as in an Item. `words`: the others hold text too, and stand to the left.
    """

    def __init__(
        self, head: list[str], rows: list[list[str]], marks: list[str] | None = None, words: bool = False
    ) -> None:
        self.head, self.rows, self.marks, self.words = head, rows, marks or [], words


class Code:
    """Text shown letter for letter, to be copied."""

    def __init__(self, text: str) -> None:
        self.text = text


class Section:
    """A title and blocks; a section without blocks is left out."""

    def __init__(self, title: str, blocks: Sequence[Paragraph | Listing | Table | Code]) -> None:
        self.title, self.blocks = title, blocks


class Document:
    """A headline as in the report, its word, a sentence on it, the reasons, and the sections."""

    def __init__(self, headline: str, word: str, text: str, reasons: list[str], sections: list[Section]) -> None:
        self.headline, self.word, self.text = headline, word, text
        self.reasons, self.sections = reasons, sections
