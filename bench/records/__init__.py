"""Sheets and files for people: text, Markdown, HTML, CSV, JSON, labels and calendars."""
