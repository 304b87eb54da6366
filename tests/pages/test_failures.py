"""What a person sees when the service itself is at fault, and typed numbers that are none."""

import warnings

import pytest
from fastapi import FastAPI

from service.actions.shop import Refused
from service.pages.typed_forms import Typed

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from starlette.testclient import TestClient


def test_a_fault_of_the_service_is_told_in_words_and_shows_no_trace(
    app: FastAPI, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object, **__: object) -> None:
        raise RuntimeError("the disk is gone")

    monkeypatch.setattr("service.pages.sign_in.sign_in", broken)
    client = TestClient(app, base_url="http://127.0.0.1:8000", raise_server_exceptions=False)
    answer = client.post("/sign-in", data={"login": "tech", "password": "x"})
    assert answer.status_code == 500
    assert "Nothing was stored" in answer.text
    assert "the disk is gone" not in answer.text
    assert "script-src 'self'" in answer.headers["content-security-policy"]


@pytest.mark.parametrize("text", ["--5", "5-", "1.5", "1e3", "٣", "", "-", "9" * 13, "0x10"])
def test_what_is_no_whole_number_is_refused_with_words(text: str) -> None:
    with pytest.raises(Refused, match="enter a whole number"):
        Typed({"cylinder": (text,)}, {}).whole("cylinder", "Cylinder")


def test_a_whole_number_may_have_blanks_between_its_thousands() -> None:
    assert Typed({"hours": ("12 500",)}, {}).whole("hours", "Hours") == 12500
