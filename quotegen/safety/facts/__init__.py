"""The facts of a job that a danger can depend on."""
