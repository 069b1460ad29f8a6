"""The site: Sphinx makes it of the pages."""

from __future__ import annotations

import io
import shutil
import tempfile
from pathlib import Path
from typing import Final

import pathkit
from pathkit.docs.pages import pages
from pathkit.errors import InputError, OutputError
from pathkit.findings import Finding

FORMATS: Final = ("html", "text")

_SETTINGS: Final = {
    "project": "pathkit",
    "version": pathkit.__version__,
    "extensions": ["sphinx.ext.autodoc", "myst_parser"],
    "default_role": "py:obj",
    "autodoc_typehints": "none",
    "add_module_names": False,
    "myst_heading_anchors": 3,
    "html_theme": "alabaster",
    "html_theme_options": {"description": "Cut files for small routers, with proof", "page_width": "70rem"},
    "html_show_sphinx": False,
    "html_show_copyright": False,
    "html_copy_source": False,
    "html_show_sourcelink": False,
    # Links within a guide that lead to places of its source.
    "suppress_warnings": ["myst.xref_missing", "misc.highlighting_failure"],
}


def build(out: Path, kind: str = "html") -> Path:
    """Build the site into ``out``, as ``html`` or ``text``; returns its first page.

    The folder is written whole or not at all. Raises `InputError` if it is there already or Sphinx is not installed,
    `OutputError` if it cannot be written.
    """
    if kind not in FORMATS:
        raise InputError(f"no site is made as {kind!r}; there are: {', '.join(FORMATS)}")
    if out.exists():
        what = f"{str(out)!r} is there already"
        raise InputError([Finding(check="docs", what=what, fix="name a folder that is not there yet")])
    try:
        import myst_parser  # noqa: F401 - an extension that Sphinx loads
        from sphinx.application import Sphinx
    except ImportError as error:
        fix = 'pip install "pathkit-cam[docs]"'
        raise InputError([Finding(check="docs", what=f"{error.name} is not installed", fix=fix)]) from None
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        source, made = folder / "pages", folder / "site"
        for path, text in pages():
            (source / path).parent.mkdir(parents=True, exist_ok=True)
            (source / path).write_text(text, encoding="utf-8")
        warnings = io.StringIO()
        site = Sphinx(
            source, None, made, folder / "kept", kind, confoverrides=_SETTINGS, status=None, warning=warnings,
            freshenv=True,
        )  # fmt: skip
        site.build(force_all=True)
        if site.statuscode:
            raise OutputError(f"the site was not made: {warnings.getvalue()[:2000]}")
        for rest in (".doctrees", "_sources"):
            shutil.rmtree(made / rest, ignore_errors=True)
        (made / ".buildinfo").unlink(missing_ok=True)
        try:
            shutil.copytree(made, out)
        except OSError as error:
            shutil.rmtree(out, ignore_errors=True)
            raise OutputError(f"the site cannot be written to {str(out)!r}: {error.strerror or error}") from error
    return out / f"index.{'html' if kind == 'html' else 'txt'}"
