"""The desktop application: everything that needs Qt."""

import builtins

import PySide6  # noqa: F401  it puts a function of its own round `__import__`

# that function reads the text of every module imported afterwards, to see whether it asks for Qt's
# methods under other names; none here does, and reading takes a third of the time of an import
builtins.__import__ = getattr(builtins, "__orig_import__", builtins.__import__)
