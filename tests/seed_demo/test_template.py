"""The shared demonstration of a test run serves copies that can be worked on."""

from pathlib import Path

import pytest

from seed_demo.cast import MIRA
from service.actions.accounts import sign_in
from service.app import make_shop
from service.settings import Settings
from tests.seed_demo.template import copy_of_demo, demo_template


def test_a_person_of_the_cast_signs_in_to_a_copy_and_the_template_is_left_alone(
    tmp_path: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    template = demo_template(tmp_path_factory)
    before = template.read_bytes()
    copy_of_demo(template, tmp_path)
    shop = make_shop(Settings(data_dir=tmp_path))
    assert sign_in(shop, login=MIRA.login, password=MIRA.password).actor.name == MIRA.name
    shop.store.close()
    assert demo_template(tmp_path_factory) == template, "told once"
    assert template.read_bytes() == before
    assert not template.with_name(f"{template.name}-wal").exists()
