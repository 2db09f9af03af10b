#!/usr/bin/env python3
"""Keeps dropped words and misspellings out of what people read.

    tests/words.py FOLDER            check; FOLDER is the one with src/ in it
    tests/words.py FOLDER --lower    write today's counts into words-dropped.txt, where they are lower
    tests/words.py FOLDER --where WORD    every place of one dropped word

Read are the documents (without what the command printed into them: its own words are checked in src), the
string literals of src, and the texts of web/src. tests/words-dropped.txt says what is dropped and what to say
instead; a file that still has such a word is listed there with a count that may only go down. In src and
web/src the sum counts, so that a text may move to another file. tests/words-known.txt lists the words that
the spell checker doesn't know and that are right.
"""
import pathlib
import re
import subprocess
import sys

DOCUMENTS = ["README.md", "CHANGELOG.md", "CONTRIBUTING.md", "docs/*.md", "examples/**/*.md", "tests/README.md",
             "benchmarks/README.md"]
SAMPLE = re.compile(r"<!-- run:(?:[^-]|-(?!->))*-->\n\s*\n(?:(?: {4}[^\n]*)?\n)*")
BLOCK = re.compile(r"(?<=\n\n) {4}(?![-*] |\d+\. )[^\n]*(?:\n+ {4}[^\n]*)*|^```.*?^```", re.S | re.M)
# comments, single characters, texts: whatever begins first
CPP = re.compile(r"""//[^\n]*|/\*.*?\*/|\#include[^\n]*|'(?:\\[^'\n]+|[^'\\\n])'|(R"\(.*?\)"|"(?:[^"\\\n]|\\.)*")""", re.S)
WEB = re.compile(r"""//[^\n]*|/\*.*?\*/|^import[^\n]*|\bimport\([^)]*\)|className="[^"]*"
                     |("(?:[^"\\\n]|\\.)*"|'(?:[^'\\\n]|\\.)*'|`(?:[^`\\]|\\.)*`|(?<=>)[^<>{}=;]+(?=<))""",
                 re.S | re.M | re.X)


HIDDEN = "\x02"  # stands for what people don't read


def blank(text, pattern):
    """The text with each match hidden, so that line numbers stay."""
    return pattern.sub(lambda m: re.sub(r"[^\n]", HIDDEN, m.group()), text)


def document(text):
    """A document without its samples, inline code and addresses."""
    text = blank(text, SAMPLE)
    text = blank(text, re.compile(r"`[^`\n]*(?:\n(?!\s*\n)[^`\n]*)?`"))
    return blank(text, re.compile(r"\]\([^)\s]*\)|<!--.*?-->|https?://\S+", re.S))


def literals(text, pattern):
    """What stands between quotation marks; everything else hidden. Pieces of one C++ text are joined."""
    out, at = [], 0
    for m in pattern.finditer(text):
        if m.group(1):
            out += [re.sub(r"\S", HIDDEN, text[at:m.start()]), m.group(1)]
            at = m.end()
    out.append(re.sub(r"\S", HIDDEN, text[at:]))
    return re.sub(r'"(\s*\n\s*)"', lambda m: "\n" * m.group().count("\n"), "".join(out))


def texts(root):
    """(area, path, text) of everything that people read."""
    for pattern in DOCUMENTS:
        for p in sorted(root.glob(pattern)):
            yield "docs", p, document(p.read_text())
    for p in sorted((root / "src").rglob("*")):
        if p.suffix in (".cpp", ".h"):
            yield "src", p, literals(p.read_text(), CPP)
    for p in sorted((root / "web/src").rglob("*")):
        if p.suffix in (".ts", ".tsx") and not p.name.endswith(".d.ts"):
            yield "web", p, literals(p.read_text(), WEB)


class Word:
    def __init__(self, pattern, instead):
        self.pattern, self.instead = pattern, instead
        body = pattern.replace(" ", r"(?: ?\n {0,12}| )")  # a blank may be a line's end
        self.regex = re.compile(rf"(?:{body})(?!\w)")
        self.known = {}


def read_list(path):
    words, head = [], []
    for line in path.read_text().splitlines():
        if not line.strip() or line.startswith("#"):
            if not words:
                head.append(line)
            continue
        if line.startswith("    "):
            name, count = line.rsplit(None, 1)
            words[-1].known[name.strip()] = int(count)
        else:
            pattern, instead = line.split(" -> ", 1)
            words.append(Word(pattern.strip(), instead.strip()))
    return head, words


def write_list(path, head, words):
    out = head[:]
    for w in words:
        out.append(f"{w.pattern} -> {w.instead}")
        out += [f"    {name} {n}" for name, n in sorted(w.known.items()) if n]
    path.write_text("\n".join(out) + "\n")


def places(text, regex):
    """The lines in which it stands as a whole word."""
    at = (m for m in regex.finditer(text) if not re.match(r"[\w-]", text[max(0, m.start() - 1):m.start()]))
    return [text.count("\n", 0, m.start()) + 1 for m in at]


def main():
    root = pathlib.Path(sys.argv[1])
    path = root / "tests/words-dropped.txt"
    head, words = read_list(path)
    all_texts = [(a, str(p.relative_to(root)), t.lower()) for a, p, t in texts(root)]
    if "--where" in sys.argv:
        wanted = sys.argv[sys.argv.index("--where") + 1]
        for w in words:
            if wanted in w.pattern:
                for _, name, text in all_texts:
                    lines = (root / name).read_text().splitlines()
                    for n in places(text, w.regex):
                        print(f"{name}:{n}: {lines[n - 1].strip()[:160]}")
        return 0
    bad = fewer = 0
    for w in words:
        found = {name: places(text, w.regex) for _, name, text in all_texts}
        area_of = {name: a for a, name, _ in all_texts}
        for area in ("docs", "src", "web"):
            of = lambda name: area_of.get(name, "web" if name.startswith("web/") else name.split("/")[0])
            now = sum(len(v) for n, v in found.items() if area_of[n] == area)
            known = sum(v for n, v in w.known.items() if (of(n) if of(n) in ("src", "web") else "docs") == area)
            over = {n: v for n, v in found.items() if area_of[n] == area and len(v) > w.known.get(n, 0)}
            if not over or (area != "docs" and now <= known) or "--first" in sys.argv:
                continue
            bad = 1
            for name, lines in over.items():
                print(f"{name}:{','.join(map(str, lines))}: \"{w.pattern}\" {len(lines)} times, known are "
                      f"{w.known.get(name, 0)}. Say: {w.instead}")
        fewer += sum(max(0, n - len(found.get(name, []))) for name, n in w.known.items())
        if "--lower" in sys.argv or "--first" in sys.argv:
            w.known = {n: (len(v) if "--first" in sys.argv else min(len(v), w.known.get(n, 0)))
                       for n, v in found.items() if v}
    if "--lower" in sys.argv or "--first" in sys.argv:
        write_list(path, head, words)
        return 0
    if bad:
        print("tests/words-dropped.txt lists the dropped words and what to say instead.")
    elif fewer:
        print(f"{fewer} dropped words fewer than tests/words-dropped.txt knows: tests/words.py . --lower")
    return spelling(root) | long_lines(root) | bad


def prose(root):
    """(path, text) of what is spelled: documents without blocks, and the sentences of src and the page."""
    for area, p, text in texts(root):
        if area == "docs":
            yield p, blank(document(p.read_text()), BLOCK).replace(HIDDEN, " ")
        elif p.parent.name != "store":  # its texts are half SQL
            sentences = re.sub(r"[^\x02\n]+", lambda m: m.group() if " " in m.group().strip() else " ", text)
            yield p, sentences.replace(HIDDEN, " ").replace("\\n", " ")


# names of files and keys, numbers with units, letters of formulas, names in code
NO_WORDS = re.compile(r"\S*[_/\\=<>{}$²³·×√∮]\S*|\S*\w\.\w\S*|\b[A-Z]{2,}\w*\b|\b\w*\d\w*\b|\b[a-z]+[A-Z]\w*\b")


def spelling(root):
    known = set((root / "tests/words-known.txt").read_text().lower().split())
    files = [(p, NO_WORDS.sub(" ", text.replace("’", "'"))) for p, text in prose(root)]
    try:
        said = subprocess.run(["aspell", "list", "--lang=en_GB", "--encoding=utf-8", "--ignore=2"],
                              input="\n".join(text for _, text in files), capture_output=True, text=True, check=True)
    except FileNotFoundError:
        print("aspell is missing: apt-get install aspell aspell-en")
        return 1
    wrong = {w for w in said.stdout.split() if not {w.lower(), w.lower().removesuffix("'s")} & known}
    for word in sorted(wrong):
        for p, text in files:
            m = re.search(rf"(?<![\w'])" + re.escape(word) + r"(?![\w'])", text)
            if m:
                print(f"{p.relative_to(root)}:{text.count(chr(10), 0, m.start()) + 1}: \"{word}\" is misspelt, "
                      "or belongs into tests/words-known.txt")
    return bool(wrong)


def long_lines(root):
    """Prose of at most 120 characters a line; tables, blocks, comments and pictures are as wide as they must be."""
    bad = 0
    for pattern in DOCUMENTS:
        for p in sorted(root.glob(pattern)):
            text = blank(blank(p.read_text(), SAMPLE), BLOCK)
            for n, line in enumerate(text.splitlines(), 1):
                if len(line) > 120 and not line.startswith(("|", "![", "<!--", HIDDEN)):
                    bad = 1
                    print(f"{p.relative_to(root)}:{n}: {len(line)} characters; break the line before 120")
    return bad


sys.exit(main())
