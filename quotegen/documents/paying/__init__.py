"""Invoices, credit notes and statements of account."""
