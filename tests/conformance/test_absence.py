import pytest
from conformance.absence import go_without


def test_without_a_browser_a_person_is_told_why(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.delenv("CI", raising=False)

    with pytest.raises(pytest.skip.Exception, match="none here"):
        go_without("none here")


def test_without_a_browser_ci_fails(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CI", "true")

    with pytest.raises(pytest.fail.Exception, match="none here"):
        go_without("none here")
