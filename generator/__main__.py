"""The console command; `python -m generator` is the same."""

import gc

from generator.memory import collector_held_back


def main() -> None:
    """Run the command line."""
    with collector_held_back():  # what is imported stays: looking through it again and again took a sixth of the time
        from generator.command import cli  # after the collector is held back

        gc.freeze()
    cli(prog_name="philosophy")


if __name__ == "__main__":
    main()
