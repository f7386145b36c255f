"""Let ``python -m cutworthy`` do what ``cutworthy`` does."""

from cutworthy.cli.main import run

if __name__ == "__main__":
    run()
