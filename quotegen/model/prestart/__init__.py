"""What has to be settled before a job may begin: as the workbook has it, and as it stands."""
