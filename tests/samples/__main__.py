"""Write ``sample_rigs`` again: ``python -m tests.samples`` from the project's root."""

from __future__ import annotations

from pathlib import Path

from tests.samples.books import sample_files

ROOT = Path(__file__).parents[2] / "sample_rigs"


def main() -> None:
    """Write every sample file, and take away pages that are no longer made."""
    files = sample_files()
    for name, text in files.items():
        path = ROOT / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8", newline="\n")
    for folder in {(ROOT / name).parent for name in files}:
        for path in folder.glob("*.toml"):
            if path.relative_to(ROOT).as_posix() not in files:
                path.unlink()


if __name__ == "__main__":
    main()
