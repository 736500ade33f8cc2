"""What a person who decides on a contribution has to see: an account of each file that it changes. Pure."""

from proclint.review.account import Account, Inside
from proclint.review.edition import Edition
from proclint.review.head import Head, Source
from proclint.review.review import Review, review
from proclint.review.verdict import Verdict

__all__ = ["Account", "Edition", "Head", "Inside", "Review", "Source", "Verdict", "review"]
