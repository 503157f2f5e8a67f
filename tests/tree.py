"""The tree of DEVELOPERS.md, a line a file, from the first line of each file: `python -m tests.tree` writes it in."""

import ast
from pathlib import Path

ROOT = Path(__file__).parent.parent
GUIDE = ROOT / "DEVELOPERS.md"
BEGIN, END = "<!-- tree begins -->", "<!-- tree ends -->"
ROOMS = ("model", "read", "compute", "check", "draw", "pages", "change", "render", "knowledge")


def tree() -> str:
    """Every module with what it says of itself, room by room."""
    lines = ["```text", "generator/"]
    lines += [_line(path, "  ") for path in sorted((ROOT / "generator").glob("*.py")) if path.name != "__init__.py"]
    for room in ROOMS:
        folder = ROOT / "generator" / room
        files = [path for path in sorted(folder.rglob("*.py")) if path.name != "__init__.py"]
        head = _about(folder / "__init__.py")
        lines.append(f"  {room + '/':24} {head}".rstrip())
        lines += [_line(path, "    ") for path in files]
    return "\n".join([*lines, "```"])


def _about(path: Path) -> str:
    if not path.exists() or not path.read_text(encoding="utf-8").strip():
        return ""
    words = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or ""
    return words.splitlines()[0] if words else ""


def _line(path: Path, indent: str) -> str:
    return f"{indent}{path.name:{26 - len(indent)}} {_about(path)}".rstrip()


def guide() -> str:
    """DEVELOPERS.md with the tree as it is now."""
    text = GUIDE.read_text(encoding="utf-8")
    before, rest = text.split(BEGIN)
    _, after = rest.split(END)
    return f"{before}{BEGIN}\n{tree()}\n{END}{after}"


if __name__ == "__main__":
    GUIDE.write_text(guide(), encoding="utf-8")
