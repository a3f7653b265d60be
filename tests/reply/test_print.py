"""Pages as a browser prints them: one sheet each, on A4 and on Letter, whatever stands on them.

Skipped where there is no browser; BACKSTAY_BROWSER names one, and then it has to be there.
"""

import os
import shutil
import subprocess
from pathlib import Path

import pytest
from pypdf import PdfReader

from backstay.reply.sheet_html import html

from .sheets import PAIN, WEEK, assistant, made, words

NAMED = os.environ.get("BACKSTAY_BROWSER")
BROWSER = NAMED or shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
PAPERS = {"A4": (595, 842), "letter": (612, 792)}
FULL = "general preparation, lower back, upper back and hamstrings, back rounds, 6 days a week, 90 minutes, clean 120"
PAGES = [
    ("week", WEEK, None),
    ("week", FULL, None),
    ("week", PAIN, None),
    ("week", "", None),
    ("block", WEEK, 12.0),
    ("block", FULL, 12.0),
    ("block", PAIN, 12.0),
    ("block", WEEK, 3.0),
    ("block", FULL, 40.0),
    ("", "my back rounds off the floor", None),
    ("", FULL, None),
]

pytestmark = pytest.mark.skipif(BROWSER is None, reason="no browser is installed")


def printed(page: str, folder: Path) -> PdfReader:
    """Print a page in a browser that knows nothing of any other."""
    source, target = folder / "page.html", folder / "page.pdf"
    source.write_text(page, encoding="utf-8")
    call = [
        str(BROWSER), "--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking",
        f"--user-data-dir={folder / 'profile'}", "--no-pdf-header-footer", f"--print-to-pdf={target}", source.as_uri(),
    ]  # fmt: skip
    subprocess.run(call, check=True, capture_output=True, timeout=120)
    return PdfReader(target)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("want, message, weeks", PAGES)
def test_a_page_is_one_sheet_and_all_of_it_is_on_it(
    want: str, message: str, weeks: float | None, paper: str, tmp_path: Path
) -> None:
    sheet = made(want, message, weeks=weeks)
    page = html(words(), assistant().base, sheet)
    assert page.count("@page{") == 1
    read = printed(page.replace("@page{", f"@page{{size:{paper};"), tmp_path)
    assert len(read.pages) == 1
    width, height = PAPERS[paper]
    box = read.pages[0].mediabox
    assert abs(float(box.width) - width) < 2
    assert abs(float(box.height) - height) < 2
    text = "".join(read.pages[0].extract_text().split())
    for part in (sheet.title, sheet.made, sheet.stop_rule, sheet.pain_rule, *(entry.name for entry in sheet.entries)):
        assert "".join(part.split()) in text
