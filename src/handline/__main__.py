"""``python -m handline`` is ``handline``."""

from handline.cli import main

main(prog_name="handline")
