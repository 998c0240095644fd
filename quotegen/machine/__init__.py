"""What has to do with the machine: files, folders, processes, memory."""
