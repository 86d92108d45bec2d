"""Print every ratio: `make bench`."""

from tests.bench import alternatives, bulk, endpoint, library

if __name__ == "__main__":
    for part in (library, alternatives, endpoint, bulk):
        for line in part.report():
            print(line)
