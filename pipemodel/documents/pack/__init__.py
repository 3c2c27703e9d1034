"""The paper pack: job sheet, schedule sheets, pull cards, lists and full-size templates in one PDF."""
