"""Run the command line as ``python -m lessonplan``."""

from lessonplan.cli import main

if __name__ == "__main__":
    main()
