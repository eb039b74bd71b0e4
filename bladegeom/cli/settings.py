"""The command ``settings``: what is set in this shop, where each value comes from, and a file to start from."""

from __future__ import annotations

import argparse

from bladegeom.cli.starter import write_starter
from bladegeom.cli.tell import tell
from bladegeom.commands.settings import place_words, settings_words, starter_settings
from bladegeom.commands.stockroom import stockroom_words
from bladegeom.settings.settings import settings_in_force
from bladegeom.settings.settings_place import VARIABLE, settings_path


def settings_command(options: argparse.Namespace) -> int:
    """Print the settings, or write a file to start from."""
    if options.starter:
        write_starter(options.starter, starter_settings(), "settings.toml")
        tell(
            f"{options.starter} written: every key is there, none is set; put it where bladegeom settings says, or name"
        )
        tell(f"it in the environment variable {VARIABLE}")
        return 0
    if options.name is None:
        tell(place_words(settings_path()))
        tell("option before script, script before settings file, file before what is built in\n")
    tell(settings_words(settings_in_force(), options.name))
    if options.name in (None, "stockroom") and (lying := stockroom_words(settings_in_force())):
        tell(f"\n{lying}")
    return 0
