"""A missing tool is said, and with SPINDLEBOOK_TEST_REQUIRE=all it is a failure."""

import pytest

from tests.conftest import require_tool


def test_a_tool_that_is_there_is_used() -> None:
    require_tool("Chromium", True)


def test_a_missing_tool_skips_the_test_and_names_itself(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("SPINDLEBOOK_TEST_REQUIRE", raising=False)
    with pytest.raises(pytest.skip.Exception, match="Chromium is not installed"):
        require_tool("Chromium", False)


def test_where_everything_is_required_a_missing_tool_fails_the_test(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SPINDLEBOOK_TEST_REQUIRE", "all")
    with pytest.raises(pytest.fail.Exception, match="Chromium is not installed"):
        require_tool("Chromium", False)
