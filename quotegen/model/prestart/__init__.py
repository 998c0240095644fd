"""What has to be settled before a job can start: as the workbook has it, and how far it is."""
