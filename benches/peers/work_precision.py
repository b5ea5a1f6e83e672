"""Draws error against time, a line for each method, from the tables that the peers print.

    python3 work_precision.py rust.txt scipy.txt > ../../docs/developing/speed/work-precision.svg
"""

import math
import sys

WIDTH, HEIGHT, LEFT, TOP, RIGHT, BOTTOM = 900, 560, 90, 40, 230, 70
COLOURS = ["#0b6e99", "#5aa9c9", "#b5541c", "#7a4fa3", "#3f7f3f", "#a33a4f", "#555555"]
X, Y = (-2, 5), (-3, 1)  # powers of ten: ms, percent


def x_of(ms):
    return LEFT + (math.log10(ms) - X[0]) / (X[1] - X[0]) * (WIDTH - LEFT - RIGHT)


def y_of(percent):
    return TOP + (Y[1] - math.log10(max(percent, 10.0 ** Y[0]))) / (Y[1] - Y[0]) * (HEIGHT - TOP - BOTTOM)


def rows(path):
    """Method, error in percent and time in ms of each row that has an answer."""
    with open(path, encoding="utf-8") as file:
        for line in file:
            cells = [cell.strip() for cell in line.strip().strip("|").split("|")]
            if len(cells) == 6 and cells[4].endswith("%"):
                yield cells[0], abs(float(cells[4].rstrip(" %"))), float(cells[5].removesuffix(" ms"))


def text(x, y, words, anchor="middle", extra=""):
    return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" {extra}>{words}</text>'


def main():
    lines = {}
    for path in sys.argv[1:]:
        for method, error, ms in rows(path):
            lines.setdefault(method, []).append((ms, error))
    out = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" font-family="sans-serif" font-size="14">',
        f'<rect width="{WIDTH}" height="{HEIGHT}" fill="white"/>',
    ]
    right, bottom = WIDTH - RIGHT, HEIGHT - BOTTOM
    for power in range(X[0], X[1] + 1):
        x = x_of(10.0**power)
        out.append(f'<path d="M{x:.1f} {TOP}V{bottom}" stroke="#ddd"/>')
        words = f"{10.0**power:g} ms" if power < 3 else f"{10 ** (power - 3)} s"
        out.append(text(x, bottom + 22, words))
    for power in range(Y[0], Y[1] + 1):
        y = y_of(10.0**power)
        out.append(f'<path d="M{LEFT} {y:.1f}H{right}" stroke="#ddd"/>')
        out.append(text(LEFT - 10, y + 5, f"{10.0**power:g} %", "end"))
    out.append(f'<path d="M{LEFT} {y_of(0.5):.1f}H{right}" stroke="#888" stroke-dasharray="5 4"/>')
    out.append(text(right - 6, y_of(0.5) - 5, "0.5 %", "end", 'fill="#666"'))
    out.append(text(0.5 * (LEFT + right), HEIGHT - 18, "time of one solve, median"))
    out.append(text(LEFT - 10, 24, "error in the hours of the last ice (0.001 % or less at the bottom)", "start"))
    for number, (method, points) in enumerate(lines.items()):
        colour = COLOURS[number % len(COLOURS)]
        path = "L".join(f"{x_of(ms):.1f} {y_of(error):.1f}" for ms, error in sorted(points))
        out.append(f'<path d="M{path}" fill="none" stroke="{colour}" stroke-width="2"/>')
        out += [f'<circle cx="{x_of(ms):.1f}" cy="{y_of(error):.1f}" r="4" fill="{colour}"/>' for ms, error in points]
        y = TOP + 14 + 24 * number
        out.append(f'<circle cx="{right + 14}" cy="{y - 5}" r="5" fill="{colour}"/>')
        out.append(text(right + 26, y, method, "start"))
    out.append("</svg>")
    print("\n".join(out))


if __name__ == "__main__":
    main()
