"""`python -m pipemodel`."""

from pipemodel.cli import main

if __name__ == "__main__":
    main()
