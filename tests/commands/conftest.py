"""The sample sets, each marked once for all the tests that look at what came of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from marking.__main__ import main
from tests.commands.running import SAMPLE_FOLDERS, SAMPLES


@pytest.fixture(scope="session", params=SAMPLE_FOLDERS)
def sample(request: pytest.FixtureRequest) -> str:
    """The name of a folder of samples."""
    return str(request.param)


@pytest.fixture(scope="session")
def results(sample: str, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The results of marking that folder."""
    folder = tmp_path_factory.mktemp("results") / sample
    assert main(["mark", str(SAMPLES / sample), "--out", str(folder)]) in (0, 1)
    return folder
