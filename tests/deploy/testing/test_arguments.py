import pytest

from deploy import testing


@pytest.mark.parametrize("arguments", [["-k", "stock"], ["--ful"], ["--full", "tests/projects"]])
def test_words_before_the_dashes_are_ours_and_an_unknown_one_is_refused(arguments, capsys):
    assert testing.run(arguments) == 2

    said = capsys.readouterr().err
    assert said.startswith("unknown: ")
    assert "what follows goes to pytest" in said
