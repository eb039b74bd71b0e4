"""What mkdocs calls while it builds the site: generated pages, tabs for Windows, nothing from the network."""

from __future__ import annotations

import re

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.structure.files import File, Files
from mkdocs.structure.pages import Page
from pages import PYTHON, contact_sheets, generated, in_tabs, title_of

OUTSIDE = re.compile(
    r"""<(?:script|img|iframe|source)\b[^>]*\bsrc=["']?(?:https?:)?//"""
    r"""|<link\b[^>]*\bhref=["']?(?:https?:)?//"""
)
"""What a browser would fetch by itself; a link that the reader follows is none."""


PICTURE = re.compile(r'<img [^>]*src="(?P<file>[^"]+)"[^>]*>')


def on_config(config: MkDocsConfig) -> MkDocsConfig:
    """Put the generated pages into the reference."""
    pages = {path: {title_of(text): path} for path, text in generated().items()}
    for entry in config.nav or []:
        if "Reference" in entry:
            rooms = [page for path, page in pages.items() if path.startswith(PYTHON)]
            entry["Reference"].extend(page for path, page in pages.items() if not path.startswith(PYTHON))
            entry["Reference"].append({"Names in Python": rooms})
    return config


def on_files(files: Files, *, config: MkDocsConfig) -> Files:
    """Add the generated pages, and the contact sheets that they show."""
    for path, text in generated().items():
        files.append(File.generated(config, path, content=text))
    for path, sheet in contact_sheets().items():
        files.append(File.generated(config, path, abs_src_path=str(sheet)))
    return files


def on_page_markdown(markdown: str, **_: object) -> str:
    """Show each command for Windows too."""
    return in_tabs(markdown)


def on_page_content(html: str, **_: object) -> str:
    """Let each picture lead to itself at its full size: papers are small print on a screen, the more so on a phone."""
    return PICTURE.sub(r'<a href="\g<file>" title="at full size">\g<0></a>', html)


def on_post_page(output: str, *, page: Page, **_: object) -> str:
    """Refuse a page that would fetch anything from the network."""
    found = OUTSIDE.search(output)
    if found:
        raise PluginError(f"{page.file.src_uri} fetches from the network: {output[found.start() : found.end() + 60]}")
    return output
