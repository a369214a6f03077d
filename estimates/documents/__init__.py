"""Documents to keep and to print: PDF, XLSX and CSV made of what queries return."""
