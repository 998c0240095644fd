"""What is known of a job that a danger can hang on."""
