# SPDX-License-Identifier: GPL-3.0-or-later
# Makes the completion of a shell from what `mouldwright --help` says, which comes from the table of options.
#   mouldwright --help | awk -v shell=bash|zsh|fish -f completion.awk
# An option's line is `  -e, --statement STATEMENT    about it`.

/^ *(-[a-zA-Z], )?--[a-z]/ {
    line = $0
    sub(/^ */, "", line)
    count++
    if (line ~ /^-[a-zA-Z], /) {
        letter[count] = substr(line, 2, 1)
        sub(/^-[a-zA-Z], /, "", line)
    }
    split(line, words, " ")
    name[count] = substr(words[1], 3)
    if (words[2] ~ /^[A-Z]+$/ && line !~ /^--[a-z-]+  /)
        value[count] = words[2]
    text = line
    sub(/^[^ ]+( [A-Z]+)? +/, "", text)
    about[count] = text
}

# A text inside single quotes of the shell.
function quoted(text) {
    gsub(/'/, "'\\''", text)
    return text
}

# A value that is the name of something on disk.
function is_file(of) { return value[of] == "FILE" }
function is_folder(of) { return value[of] == "FOLDER" }

function bash(   i, options, taking) {
    for (i = 1; i <= count; i++) {
        options = options (options ? " " : "") "--" name[i] (letter[i] ? " -" letter[i] : "")
        if (value[i])
            taking = taking (taking ? "|" : "") "--" name[i] (letter[i] ? "|-" letter[i] : "")
    }
    print "# bash completion for mouldwright"
    print "_mouldwright() {"
    print "    local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]}"
    print "    COMPREPLY=()"
    if (taking) {
        print "    case $before in"
        print "    " taking ")"
        print "        compopt -o default 2>/dev/null"
        print "        return"
        print "        ;;"
        print "    esac"
    }
    print "    if [[ $word == -* ]]; then"
    print "        mapfile -t COMPREPLY < <(compgen -W '" options "' -- \"$word\")"
    print "        return"
    print "    fi"
    print "    compopt -o filenames 2>/dev/null"
    print "    mapfile -t COMPREPLY < <(compgen -f -X '!*.job' -- \"$word\"; compgen -d -- \"$word\")"
    print "}"
    print "complete -F _mouldwright mouldwright"
}

# Brackets, colons and backslashes mean something to _arguments.
function zsh_text(text) {
    gsub(/\\/, "\\\\", text)
    gsub(/\[/, "\\[", text)
    gsub(/\]/, "\\]", text)
    gsub(/:/, "\\:", text)
    return quoted(text)
}

function zsh_action(of) {
    if (!value[of])
        return ""
    return ":" tolower(value[of]) ":" (is_file(of) ? "_files" : is_folder(of) ? "_files -/" : " ")
}

function zsh(   i, repeat, other) {
    print "#compdef mouldwright"
    print "_arguments -s \\"
    for (i = 1; i <= count; i++) {
        repeat = about[i] ~ /may be repeated/
        other = letter[i] ? "-" letter[i] " " : ""
        if (letter[i])
            printf "    %s'-%s[%s]%s' \\\n", repeat ? "'*'" : "'(-" letter[i] " --" name[i] ")'", letter[i], \
                zsh_text(about[i]), zsh_action(i)
        printf "    %s'--%s%s[%s]%s' \\\n", repeat ? "'*'" : "'(" other "--" name[i] ")'", name[i], \
            value[i] ? "=" : "", zsh_text(about[i]), zsh_action(i)
    }
    print "    ':job:_files -g \"*.job\"'"
}

function fish_text(text) {
    gsub(/\\/, "\\\\", text)
    gsub(/'/, "\\'", text)
    return text
}

function fish(   i) {
    print "# fish completion for mouldwright"
    print "complete -c mouldwright -f"
    print "complete -c mouldwright -k -a '(__fish_complete_suffix .job)'"
    for (i = 1; i <= count; i++)
        printf "complete -c mouldwright%s -l %s%s -d '%s'\n", letter[i] ? " -s " letter[i] : "", name[i], \
            is_file(i) || is_folder(i) ? " -r -F" : value[i] ? " -x" : "", fish_text(about[i])
}

END {
    if (count == 0) {
        print "completion.awk: no options found" > "/dev/stderr"
        exit 1
    }
    if (shell == "bash") bash()
    else if (shell == "zsh") zsh()
    else if (shell == "fish") fish()
    else exit 1
}
