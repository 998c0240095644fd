"""What has to be settled before a job can start, and the first day it can."""
