"""The exceptions of the generator. What an engineer wrote wrongly is never one of them.

GeneratorError
├── KnowledgeError     a data file of the generator itself is wrong
├── DrawingError       a diagram could not be drawn
└── PrintError         the site could not be written
"""

from pathlib import Path


class GeneratorError(Exception):
    """Base of all of them: the generator itself is broken or cannot work here."""


class KnowledgeError(GeneratorError):
    """A data file of the generator itself is wrong."""


class DrawingError(GeneratorError):
    """A diagram could not be drawn."""


class PrintError(GeneratorError):
    """The site could not be written."""


def unwritable(path: Path, error: OSError) -> PrintError:
    """What is said where the system refuses a file or a folder, with its own reason.

    >>> str(unwritable(Path("site"), PermissionError(13, "Permission denied")))
    'site cannot be written: permission denied'
    """
    why = error.strerror or str(error)
    return PrintError(f"{path} cannot be written: {why[:1].lower()}{why[1:]}")
