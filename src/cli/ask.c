/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A question at the terminal, answered by one letter. */
#include "cli.h"

#include <ctype.h>
#include <string.h>
#include <unistd.h>

/* Reads a line byte by byte, so that nothing typed ahead is taken from the prompt. Returns its first letter, or 0 at
 * the end of input or an interruption. */
static char read_letter(void)
{
    char letter = 0;
    char byte = 0;
    for (;;) {
        ssize_t got = read(STDIN_FILENO, &byte, 1);
        if (got <= 0) {
            return 0;
        }
        if (byte == '\n') {
            return letter ? letter : '\n';
        }
        if (!letter && !isspace((unsigned char)byte)) {
            letter = (char)tolower((unsigned char)byte);
        }
    }
}

char cli_ask(cli *program, const char *question, const char *letters)
{
    if (!program->interactive) {
        return 0;
    }
    for (int tries = 0; tries < 3; tries++) {
        printf("%s ", question);
        fflush(stdout);
        char letter = read_letter();
        if (letter == 0 || (letter != '\n' && strchr(letters, letter))) {
            return letter;
        }
    }
    return 0;
}
