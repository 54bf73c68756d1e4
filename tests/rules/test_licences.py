"""What others made and this repository carries is named with its licence."""

from __future__ import annotations

from hashlib import sha256


def test_licence_is_apache(root):
    """The licence file is the whole text of Apache-2.0."""
    text = (root / "LICENSE").read_text("utf-8")
    assert "Apache License" in text
    assert "Version 2.0, January 2004" in text
    assert text.rstrip().endswith("limitations under the License.")


def test_every_font_is_in_the_notices(root):
    """Each font file that is carried belongs to a family that NOTICE names, beside its licence."""
    notice = (root / "NOTICE").read_text("utf-8").lower()
    fonts = [*(root / "src").rglob("*.ttf"), *(root / "src").rglob("*.otf")]
    for font in fonts:
        assert (font.parent / "LICENSE.txt").exists()
        family = font.stem.split("-")[0].lower().removesuffix("condensed")
        assert family in notice.replace(" ", ""), font.name
    prints = {sha256(font.read_bytes()).hexdigest() for font in fonts}
    assert len(prints) == len(fonts), "the same font twice"
