"""The command as a process starts it: whatever goes wrong is said in a line, and leaves with 1."""

import pytest

from countermove import cli
from countermove.errors import BadDocument

FAULTS = [
    (BadDocument("$.name: nothing was met"), "countermove: $.name: nothing was met"),
    (OSError(28, "No space left on device"), "countermove: the file could not be"),
    (KeyError("Juno has calf pain"), "a fault of the program itself was met (KeyError in"),
]


@pytest.mark.parametrize(("error", "said"), FAULTS)
def test_no_traceback_reaches_anybody(error, said, monkeypatch, capsys):
    def fail():
        raise error

    monkeypatch.setattr(cli, "app", fail)
    with pytest.raises(SystemExit) as left:
        cli.main()
    assert left.value.code == 1
    out, err = capsys.readouterr()
    assert out == ""
    assert said in err
    assert len(err.splitlines()) == 1
    assert "calf" not in err  # docs/security.md: messages do not print health answers
