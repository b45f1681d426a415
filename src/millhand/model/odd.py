"""What is possible in an inquiry and still does not go together: a question, never a refusal."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Odd:
    """One question about figures of the inquiry: what they come to together, and which of them to ask for again."""

    code: str  # stable, for tests and machines
    words: str
    facts: tuple[str, ...]  # ids of the facts that the words were made from
    where: str = ""  # where the figure to look at first stands; '' where nothing was written
    clash: bool = False  # figures that can hardly be right together; else only unusual

    @property
    def sentence(self) -> str:
        """The words with their place."""
        return f"{self.where}: {self.words}" if self.where else self.words
