/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Long answers page by page. Where neither $PAGER nor less is there, a small pager of our own. */
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <termios.h>
#include <unistd.h>

#include "mouldwright/text.h"
#include "screen.h"
#include "stop.h"

/* The bytes of a line, its end included, and the rows that it takes. */
static size_t line_at(mw_str text, size_t at, size_t width, size_t *rows)
{
    const char *begin = text.at + at;
    const char *end = memchr(begin, '\n', text.length - at);
    size_t length = end ? (size_t)(end - begin) : text.length - at;
    size_t columns = mw_utf8_columns((mw_str){begin, length});
    *rows = columns > 0 && width > 0 ? (columns + width - 1) / width : 1;
    return length + (end != NULL);
}

size_t pager_rows(mw_str text, size_t width)
{
    size_t rows = 0;
    for (size_t at = 0; at < text.length;) {
        size_t taken;
        at += line_at(text, at, width, &taken);
        rows += taken;
    }
    return rows;
}

size_t pager_page(mw_str text, size_t at, size_t width, size_t rows)
{
    size_t used = 0;
    size_t to = at;
    while (to < text.length) {
        size_t taken;
        size_t length = line_at(text, to, width, &taken);
        if (used + taken > rows && to > at) { /* at least one line, however long */
            break;
        }
        used += taken;
        to += length;
    }
    return to - at;
}

/* Whether a program of that name is in $PATH. */
static bool in_path(const char *name)
{
    const char *path = getenv("PATH");
    while (path && *path) {
        size_t length = strcspn(path, ":");
        mw_text file = {0};
        mw_text_add(&file, path, length);
        mw_text_addf(&file, "/%s", name);
        bool found = !file.failed && access(mw_text_chars(&file), X_OK) == 0;
        mw_text_free(&file);
        if (found) {
            return true;
        }
        path += length + (path[length] == ':');
    }
    return false;
}

/* Hands the text to another program; false: it could not be started. */
static bool show_by(const char *command, mw_str text)
{
    struct sigaction quiet;
    struct sigaction before;
    memset(&quiet, 0, sizeof quiet);
    quiet.sa_handler = SIG_IGN; /* it may be left before the end */
    sigaction(SIGPIPE, &quiet, &before);
    FILE *pager = popen(command, "w");
    if (pager) {
        fwrite(text.at, 1, text.length, pager);
        pclose(pager);
    }
    sigaction(SIGPIPE, &before, NULL);
    return pager != NULL;
}

/* One key, not echoed. 'q' where there is none, or Ctrl-C came. */
static char ask_key(void)
{
    struct termios before;
    if (tcgetattr(STDIN_FILENO, &before) != 0) {
        return 'q';
    }
    struct termios raw = before;
    raw.c_lflag &= ~(tcflag_t)(ICANON | ECHO);
    tcsetattr(STDIN_FILENO, TCSADRAIN, &raw);
    char key = 'q';
    if (stop_wait(STDIN_FILENO) != STOP_KEY || read(STDIN_FILENO, &key, 1) != 1) {
        key = 'q';
    }
    tcsetattr(STDIN_FILENO, TCSADRAIN, &before);
    return key;
}

static void show_ourselves(mw_str text)
{
    size_t at = 0;
    size_t rows = screen_rows() - 1;
    while (at < text.length) {
        size_t length = pager_page(text, at, screen_width(), rows);
        fwrite(text.at + at, 1, length, stdout);
        at += length;
        if (at < text.length) {
            static const char ask[] = "-- blank: next page, Enter: next line, q: enough --";
            fputs(ask, stdout);
            fflush(stdout);
            char key = ask_key();
            printf("\r%*s\r", (int)sizeof ask, "");
            if (key == 'q' || key == 'Q' || key == 4) {
                break;
            }
            rows = key == '\n' || key == '\r' ? 1 : screen_rows() - 1;
        }
    }
    fflush(stdout);
}

void pager_show(mw_str text)
{
    const char *chosen = getenv("PAGER");
    const char *options = getenv("LESS");
    bool given = chosen && chosen[0] != '\0';
    fflush(stdout);
    if (given ? show_by(chosen, text)
              : in_path("less") && show_by(options ? "less" : "LESS=FRX less", text)) {
        return;
    }
    show_ourselves(text);
}
