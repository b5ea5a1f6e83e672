"""Every link of the built book leads to a file, and to a place in it, that are there.

python3 book-links.py FOLDER
"""

import sys
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote


class Page(HTMLParser):
    """Places of a page, and where it leads."""

    def __init__(self, path: Path) -> None:
        super().__init__()
        self.places: set[str] = set()
        self.links: list[str] = []
        self.feed(path.read_text(encoding="utf-8"))

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        for name, value in attributes:
            if name == "id" and value:
                self.places.add(value)
            elif name in ("href", "src") and value:
                self.links.append(value)


def main() -> None:
    book = Path(sys.argv[1]).resolve()
    pages = {path: Page(path) for path in book.rglob("*.html")}
    count, bad = 0, []
    for path, page in pages.items():
        # the page for what is not found is shown from anywhere, and so names no folder
        if path.name == "404.html":
            continue
        for link in page.links:
            if "://" in link or link.startswith(("data:", "mailto:", "javascript:")):
                continue
            count += 1
            file, _, place = link.partition("#")
            target = (path.parent / unquote(file)).resolve() if file else path
            if not target.is_file() or (place and target in pages and unquote(place) not in pages[target].places):
                bad.append(f"{path.relative_to(book)}: {link}")
    if bad or not count:
        sys.exit("links that lead nowhere:\n" + "\n".join(bad or ["no links at all"]))
    print(f"{count} links of {len(pages)} pages lead somewhere")


if __name__ == "__main__":
    main()
