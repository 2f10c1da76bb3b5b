"""What an index shows of the project: the README, with links that lead somewhere from there too.

Links between files of the repository mean nothing on an index.  Where ``DEDUCE_HOME`` names the address under which the
files can be read, they become absolute and the address becomes a project link; else only their words are kept.
"""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import Any

from hatchling.metadata.plugin.interface import MetadataHookInterface

HERE = Path(__file__).parent.parent
RELATIVE = r"(?!https?:|#)"


def described(text: str, home: str) -> str:
    """Return the README as an index should show it."""
    if home:
        text = re.sub(rf"\]\({RELATIVE}([^)]+)\)", rf"]({home}/\1)", text)
        return re.sub(rf'src="{RELATIVE}', f'src="{home}/', text)
    text = re.sub(r"<p [^>]*><img .*?</p>\n\n", "", text, flags=re.DOTALL)
    return re.sub(rf"\[([^]]+)\]\({RELATIVE}[^)]+\)", r"\1", text)


class IndexDescription(MetadataHookInterface):
    """Fill in the description and the project links."""

    def update(self, metadata: dict[str, Any]) -> None:
        """Set what `pyproject.toml` calls dynamic."""
        home = os.environ.get("DEDUCE_HOME", "").rstrip("/")
        text = described((HERE / "README.md").read_text(encoding="utf-8"), home)
        metadata["readme"] = {"content-type": "text/markdown", "text": text}
        metadata["urls"] = {"Source": home, "Developers": f"{home}/DEVELOPERS.md"} if home else {}
