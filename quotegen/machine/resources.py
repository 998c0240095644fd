"""Where the program's own files are: the templates and the demo price lists.

In a checkout they are at the top level; in an installed wheel, inside the package.
"""

from pathlib import Path

PACKAGE = Path(__file__).resolve().parents[1]


def templates_folder() -> Path:
    """The folder of the papers' HTML and CSS.

    >>> (templates_folder() / "paper.css").is_file()
    True
    """
    return _folder("templates")


def price_lists_folder() -> Path:
    """The folder of the dated demo price lists.

    >>> price_lists_folder().name
    'price_lists'
    """
    return _folder("price_lists")


def _folder(name: str) -> Path:
    installed = PACKAGE / name
    return installed if installed.is_dir() else PACKAGE.parent / name
