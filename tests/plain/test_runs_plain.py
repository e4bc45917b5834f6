import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from shivelight.outing.runs import longest_run
from tests.plain import overlap as plain


@given(hnp.arrays(np.bool_, st.tuples(st.integers(0, 6), st.integers(0, 30))))
def test_the_compiled_count_is_the_plain_one(holds: np.ndarray) -> None:
    assert longest_run(holds).tolist() == plain.longest_run(holds)


def test_a_broadcast_table_counts_as_if_written_out() -> None:
    once = np.array([[True, True, False, True]])
    assert longest_run(np.broadcast_to(once, (3, 4))).tolist() == [2, 2, 2]
