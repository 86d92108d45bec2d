"""Print the ratios: `python -m tests.bench.peers`."""

from tests.bench.peers.report import report

if __name__ == "__main__":
    for line in report():
        print(line)
