"""Panels with both axes logarithmic, as an SVG picture."""

import math

width, height, margin = 380, 260, 60


def _panel(title, unit, along, points, left, top):
    xs, ys = [math.log10(x) for x, _ in points], [math.log10(y) for _, y in points]
    x_min, x_max = math.floor(min(xs)), math.ceil(max(xs))
    y_min, y_max = math.floor(min(ys)), max(math.ceil(max(ys)), math.floor(min(ys)) + 1)

    def place(x, y):
        return (left + margin + (x - x_min) / (x_max - x_min) * (width - margin - 36),
                top + height - margin - (y - y_min) / (y_max - y_min) * (height - margin - 36))

    def text(x, y, words, anchor="middle", more=""):
        return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}"{more}>{words}</text>'

    x_left, y_bottom = place(x_min, y_min)
    x_right, y_top = place(x_max, y_max)
    parts = [text((x_left + x_right) / 2, top + 22, title, more=' font-weight="bold"'),
             text((x_left + x_right) / 2, y_bottom + 34, along),
             text(x_left, y_top - 8, unit)]
    for decade in range(x_min, x_max + 1):
        x, _ = place(decade, y_min)
        parts += [f'<path class="grid" d="M{x:.1f} {y_bottom:.1f}V{y_top:.1f}"/>',
                  text(x, y_bottom + 16, f"{10**decade:,}")]
    for decade in range(y_min, y_max + 1):
        _, y = place(x_min, decade)
        parts += [f'<path class="grid" d="M{x_left:.1f} {y:.1f}H{x_right:.1f}"/>',
                  text(x_left - 6, y + 4, f"{10.0**decade:g}", "end")]
    # The line proportional to the last point, as far as it lies in the picture.
    back = min(xs[-1] - x_min, ys[-1] - y_min)
    (x1, y1), (x2, y2) = place(xs[-1] - back, ys[-1] - back), place(xs[-1], ys[-1])
    parts.append(f'<path class="proportional" d="M{x1:.1f} {y1:.1f}L{x2:.1f} {y2:.1f}"/>')
    line = " ".join(f"{x:.1f},{y:.1f}" for x, y in map(place, xs, ys))
    parts.append(f'<polyline class="measured" points="{line}"/>')
    parts += [f'<circle cx="{x:.1f}" cy="{y:.1f}" r="3"/>' for x, y in map(place, xs, ys)]
    return parts


def picture(panels):
    """Each panel: title, unit of what was measured, what it goes along, points. Two in a row; dashed
    what would be proportional."""
    rows = (len(panels) + 1) // 2
    parts = [f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {2 * width} {rows * height}">',
             '<style>text{font:11px sans-serif}.grid{stroke:#ddd}.measured{fill:none;stroke:#1b6}'
             '.proportional{stroke:#888;stroke-dasharray:4 3}circle{fill:#1b6}</style>',
             '<rect width="100%" height="100%" fill="#fff"/>']
    for i, panel in enumerate(panels):
        parts += _panel(*panel, left=i % 2 * width, top=i // 2 * height)
    return "\n".join([*parts, "</svg>"]) + "\n"
