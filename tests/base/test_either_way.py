"""Work done at once or alongside gives one result, and is done once."""

import pytest

from packets.base.alongside import either_way
from packets.base.errors import Damaged


@pytest.mark.parametrize("apart", [False, True])
def test_the_result_is_that_of_the_work(apart):
    with either_way(lambda: [1, 2], apart=apart) as result:
        assert result() == [1, 2]


@pytest.mark.parametrize("apart", [False, True])
def test_a_refusal_is_raised(apart):
    def refused() -> None:
        raise Damaged("the file is broken", where="a.pdf")

    with pytest.raises(Damaged, match="broken"), either_way(refused, apart=apart) as result:
        result()


def test_what_is_done_at_once_is_done_before_the_block():
    done = []
    with either_way(lambda: done.append(1), apart=False) as result:
        assert done == [1]
        result()
    assert done == [1]
