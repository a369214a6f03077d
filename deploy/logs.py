"""Log lines as JSON, one object a line, for people's eyes and for collectors alike."""

import json
import logging
from datetime import UTC, datetime


class JsonLines(logging.Formatter):
    """Time, level, logger and message; a traceback when there is one."""

    def format(self, record: logging.LogRecord) -> str:
        line = {
            "at": datetime.fromtimestamp(record.created, tz=UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname.lower(),
            "from": record.name,
            "message": record.getMessage(),
        }
        if record.exc_info:
            line["trace"] = self.formatException(record.exc_info)
        return json.dumps(line, ensure_ascii=False)
