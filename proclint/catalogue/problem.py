"""What is raised for words of the trade that cannot be used."""


class CatalogueProblem(Exception):
    """Raised where the trade's own words contradict themselves or a library's clash with them.

    `file` is where the word stands, `key` its place inside, as `actions.turn.takes`, `message` a sentence.
    """

    def __init__(self, file: str, key: str, message: str) -> None:
        super().__init__(f"{file}: {key}: {message}")
        self.file = file
        self.key = key
        self.message = message
