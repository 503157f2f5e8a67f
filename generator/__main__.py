"""`python -m generator`: the same as the console command."""

from generator.command import main

main()
