"""The templates in German, `TEMPLATES` of each subject's file; see `messages.say` for how a placeholder is written."""
