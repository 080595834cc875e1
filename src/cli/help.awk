# SPDX-License-Identifier: GPL-3.0-or-later
# Makes the table of help pages from help.txt, which says how it is written.
function quoted(text) {
    gsub(/[\\"?]/, "\\\\&", text)
    return "\"" text "\""
}
function end_example() {
    if (in_example) print "    },"
    in_example = 0
}
function end_page() {
    if (!pages) return
    end_example()
    print "    {0}};"
    table = table "    {" quoted(word) ", " command ", " (about != "" ? about : "NULL") ", " \
        (syntax != "" ? syntax : "NULL") ", " (body != "" ? body : "NULL") ", examples_" pages ", " \
        (see != "" ? see : "NULL") "},\n"
}
BEGIN { print "#include \"cli/help.h\"\n" }
/^#/ || (!pages && !/^=/) { next }
/^==? / {
    end_page()
    pages++
    command = /^==/ ? "true" : "false"
    word = $0
    sub(/^==? /, "", word)
    about = syntax = body = see = ""
    print "static const help_example examples_" pages "[] = {"
    next
}
/^about: / { about = quoted(substr($0, 8)); next }
/^syntax: / { syntax = syntax quoted(substr($0, 9) ) "\"\\n\" "; next }
/^text: ?/ { line = $0; sub(/^text: ?/, "", line); body = body quoted(line) "\"\\n\" "; next }
/^see: / { see = quoted(substr($0, 6)); next }
/^> / { end_example(); print "    {" quoted(substr($0, 3)) ", \"\""; in_example = 1; next }
in_example && /^  / { print "        " quoted(substr($0, 3)) " \"\\n\""; next }
/^$/ { next }
{ print "help.txt:" FNR ": what is this? " $0 >"/dev/stderr"; failed = 1; exit 1 }
END {
    if (failed) exit 1
    end_page()
    printf "\nconst help_page help_pages[] = {\n%s    {0}};\n", table
}
