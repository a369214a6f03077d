import stat
from concurrent.futures import ThreadPoolExecutor

from deploy.settings.keys import secret_key


def test_key_is_made_once_and_only_its_owner_reads_it(tmp_path):
    path = tmp_path / "keys" / "secret_key"

    first = secret_key(path)

    assert secret_key(path) == first
    assert len(first) >= 50
    assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_threads_that_start_together_get_one_key(tmp_path):
    path = tmp_path / "keys" / "secret_key"

    with ThreadPoolExecutor(8) as pool:
        keys = set(pool.map(lambda _: secret_key(path), range(32)))

    assert len(keys) == 1
    assert [file.name for file in path.parent.iterdir()] == ["secret_key"]
