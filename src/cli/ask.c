/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A question at the terminal, answered by one letter. */
#include "cli.h"

#include <ctype.h>
#include <string.h>
#include <unistd.h>

#include "stop.h"

int cli_ask_byte(void)
{
    for (;;) {
        unsigned char byte = 0;
        stop_event event = stop_wait(STDIN_FILENO);
        if (event == STOP_KEY) {
            return read(STDIN_FILENO, &byte, 1) == 1 ? byte : -1;
        }
        if (event == STOP_DROP || stop_wanted()) {
            return -1;
        }
        if (event == STOP_SUSPEND) {
            stop_suspend();
        }
    }
}

/* Reads a line byte by byte, so that nothing typed ahead is taken from the prompt. Returns its first letter, or 0 at
 * the end of input or an interruption. */
static char read_letter(void)
{
    char letter = 0;
    for (;;) {
        int byte = cli_ask_byte();
        if (byte < 0) {
            putchar('\n');
            return 0;
        }
        if (byte == '\n') {
            return letter ? letter : '\n';
        }
        if (!letter && !isspace(byte)) {
            letter = (char)tolower(byte);
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
