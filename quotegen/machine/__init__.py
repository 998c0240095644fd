"""The machine: files, folders, processes, memory."""
