"""Print every ratio: `make bench`."""

from tests.bench import endpoint, library

if __name__ == "__main__":
    for part in (library, endpoint):
        for line in part.report():
            print(line)
