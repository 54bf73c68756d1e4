"""Labels from the web app: their codes open the job's page with the piece in hand."""

import json

import pypdfium2
import pytest
import zxingcpp


@pytest.fixture
def porch(own, demo_text):
    """The id of the porch on the shelf."""
    return own.post("/api/jobs", json={"text": demo_text}).json()["id"]


def codes(pdf):
    """What the codes of a printed page hold."""
    page = pypdfium2.PdfDocument(pdf)[0]
    return {r.text for r in zxingcpp.read_barcodes(page.render(scale=150 / 72).to_pil())}


def test_the_code_of_a_label_opens_its_piece(site, own, phone, porch):
    """The address in the code is that of the network, and its page begins with the piece held."""
    phone.post("/pair", data={"code": site.pairing.code()})
    read = codes(own.get(f"/job/{porch}/labels.pdf").content)
    link = next(text for text in read if text.endswith("?piece=siding-16"))
    assert link.startswith(f"http://192.168.7.20:8740/job/{porch}?")
    page = phone.get(link.removeprefix("http://192.168.7.20:8740")).text
    begins = json.loads(page.split('id="begins">')[1].split("</script>")[0])
    assert begins["held"] == "siding-16"


def test_a_piece_that_is_gone_is_not_held(own, porch):
    """The page of the job opens all the same."""
    page = own.get(f"/job/{porch}?piece=nothing")
    assert page.status_code == 200
    assert json.loads(page.text.split('id="begins">')[1].split("</script>")[0])["held"] is None
