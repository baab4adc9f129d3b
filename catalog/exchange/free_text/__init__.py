"""What people wrote in spreadsheets and lists: dates, sizes, edition marks and process words, read or told why not."""
