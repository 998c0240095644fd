"""The commands: arguments, progress, summary and exit code.

0: clean. 1: the user's data has problems that stop something. 2: wrong usage or our own fault. 130:
stopped by Ctrl-C. The conductor is imported only by the commands that need it, so `--help` answers
at once.
"""
