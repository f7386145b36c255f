"""Throws programs at the reader for as long as asked, steered by what of it they reach.

    python tests/fuzz/fuzz_reader.py FOLDER [-runs=N] [-max_total_time=SECONDS] [...]

FOLDER keeps the inputs that reached something new, from one run to the next; the seeds are put there first. An input
that fails is left there as ``crash-*``: give it in place of FOLDER to run it alone. Needs atheris, which is to be had
for Linux on x86_64.
"""

import sys
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

import atheris

sys.path.insert(0, str(Path(__file__).parents[1]))
with atheris.instrument_imports(include=["cutworthy.program"]):
    from programs import CHOICES
    from whole import assert_reads, both, short_stretches

    from cutworthy.program import ReadOptions

HERE = Path(__file__).parent
LONGEST = 2048  # bytes of an input: programs of some hundred lines
SLOWEST = 20  # seconds that one input may take
MOST_MEMORY = 4096  # MB: the fuzzer itself keeps more and more about what it has seen
# Options of the seeds: metric by practice, by the report, nothing known.
HEADS = (bytes([0, 0, 0, 0, 1, 0, 1, 0, 1, 0, 0, 1]), bytes([0, 0, 0, 0, 1, 0, 1, 0, 1, 1, 0, 1]), bytes([2] * 12))
# Plain lines, so that the compiled kernel reads up to what the fuzzer made, through it, and on behind it.
BEFORE = b"G21 G90 G17 G94 G54\nG0 X0 Y0 Z5 F900\n" + b"G1 X1.5 Y-2 Z.25\nX-3 Y.125\nG3 X3 Y4 R5\n" * 9
BEHIND = b"\nG1 X2 Y3 Z4 F80\n" + b"X-1.25 Y2\nG2 X3 Y4 R5\nG0 Z5\nG1 X.5 Y-.5 Z-1\n" * 9


def split(data: bytes) -> tuple[ReadOptions, bytes]:
    """Take one byte for each option from the head of an input; the rest is the program."""
    head = data[: len(CHOICES)].ljust(len(CHOICES), b"\0")
    picked = zip(CHOICES.items(), head, strict=True)
    return ReadOptions(**{name: values[byte % len(values)] for (name, values), byte in picked}), data[len(CHOICES) :]


def fuzz(helpers: ThreadPoolExecutor, data: bytes) -> None:
    """Read one input both ways, alone and between plain lines, and assert what must hold."""
    chosen, program = split(data)
    for strict in (False, True):
        assert_reads(program, replace(chosen, strict=strict))
    slow, quick = both(BEFORE + program + BEHIND, chosen, helpers)
    assert quick == slow, "the quick way differs from the complete reader"


def main() -> None:
    """Put the seeds into the folder, and start."""
    folders = [Path(word) for word in sys.argv[1:] if not word.startswith("-")]
    extra = []
    if folders and not folders[0].is_file():
        folders[0].mkdir(parents=True, exist_ok=True)
        for seed in sorted((HERE / "seeds").glob("*.nc")):
            for number, head in enumerate(HEADS):
                (folders[0] / f"{seed.stem}-{number}").write_bytes(head + seed.read_bytes())
        extra = [f"-artifact_prefix={folders[0]}/", f"-dict={HERE / 'words.dict'}"]
    extra += [f"-max_len={LONGEST}", f"-timeout={SLOWEST}", f"-rss_limit_mb={MOST_MEMORY}"]
    with short_stretches(), ThreadPoolExecutor(1) as helpers:
        atheris.Setup([sys.argv[0], *extra, *sys.argv[1:]], lambda data: fuzz(helpers, data))
        atheris.Fuzz()


if __name__ == "__main__":
    main()
