"""Text that tries to be more than text, in HTML, CommonMark, XML, WebVTT, CSV and file names.

Common practice, from memory; the first rows are of the kinds that OWASP's cheat sheet on cross site scripting names.
"""

HOSTILE = (
    "<script>document.title='got in'</script>",
    "<img src=x onerror=\"document.title='got in'\">",
    "</textarea><svg onload=\"document.title='got in'\">",
    "\"><iframe srcdoc=\"<script>parent.document.title='got in'</script>\"></iframe>",
    "[press me](javascript:document.title='got in')",
    "![x](x\" onerror=\"document.title='got in')",
    "<a href=\"javascript:document.title='got in'\" autofocus onfocus=\"document.title='got in'\">x</a>",
    "<style>*{display:none}</style>",
    "<base href=\"https://example.org/\">",
    "<meta http-equiv=\"refresh\" content=\"0;url=https://example.org/\">",
    "<https://example.org/got-in>",
    "&lt;script&gt;document.title='got in'&lt;/script&gt;",
    "]]><x/><![CDATA[",
    "<!--", "-->", "--> 00:01.000",
    "WEBVTT\n\n00:00.000 --> 00:09.000\n<c.red>got in</c>",
    "=HYPERLINK(\"https://example.org/\";\"got in\")",
    "@SUM(1+1)*cmd|' /C calc'!A0",
    "{{ 7|add:35 }}{% debug %}",
    "../../etc/passwd",
    "# not a heading", "1. not a list", "- not a list", "> not a quote", "    not code", "```\nnot code\n```",
    "---", "===",
    "*not* __strong__ ~~not~~ `not code`", "line one  \nline two\\", "| a | b |\n| - | - |", "![",
    "[a]: /b \"c\"", "#", "##", "a ##",
    "\u202egnp.exe\u202c", "zero\u0000byte", "bell\u0007", "lone \ufffe", "line\u2028separator",
)  # fmt: skip
