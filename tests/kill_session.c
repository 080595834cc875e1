/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Types a session into a program at a terminal of its own, line by line, each once the one before has been answered; for
 * tests/tools/check-kill. Needs only the C library.
 *   kill_session LINES PROMPT COMMAND...      types the lines of a file
 * Prints how many lines were answered and how many were typed, then how the command ended. A line is answered when
 * something stands behind it on the screen, or the next prompt. */
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

enum { SCREEN_BYTES = 1 << 20, PATIENCE_MS = 20000 };

typedef struct screen {
    int terminal;
    char text
        [SCREEN_BYTES]; /* what was shown since the last line was typed, without sequences for the terminal */
    size_t length;
    bool escape, sequence;
} screen;

static void die(const char *what)
{
    perror(what);
    exit(2);
}

static int open_terminal(pid_t *child, char **command)
{
    int terminal = posix_openpt(O_RDWR | O_NOCTTY);
    if (terminal < 0 || grantpt(terminal) != 0 || unlockpt(terminal) != 0) {
        die("terminal");
    }
    const char *name = ptsname(terminal);
    *child = fork();
    if (*child == 0) {
        setsid();
        int own = open(name, O_RDWR);
        if (own < 0 || dup2(own, 0) < 0 || dup2(own, 1) < 0 || dup2(own, 2) < 0) {
            _exit(126);
        }
        close(terminal);
        execvp(command[0], command);
        _exit(127);
    }
    return terminal;
}

static void show(screen *on, char c)
{
    if (on->escape) {
        on->sequence = c == '[' || (on->sequence && (c < '@' || c > '~'));
        on->escape = on->sequence;
    } else if (c == '\033') {
        on->escape = true;
        on->sequence = false;
    } else if (c != '\r' && on->length < SCREEN_BYTES - 1) {
        on->text[on->length++] = c;
        on->text[on->length] = '\0';
    }
}

static bool ends_in(const screen *on, const char *prompt)
{
    size_t length = strlen(prompt);
    return on->length >= length && strcmp(on->text + on->length - length, prompt) == 0;
}

/* Reads until a prompt stands at the end; false: the other side has ended. */
static bool wait_for(screen *on, const char *prompt)
{
    while (!ends_in(on, prompt) && !ends_in(on, "? ")) {
        char bytes[4096];
        struct pollfd wait = {on->terminal, POLLIN, 0};
        ssize_t got = poll(&wait, 1, PATIENCE_MS) > 0 ? read(on->terminal, bytes, sizeof bytes) : 0;
        if (got <= 0) {
            return false;
        }
        for (ssize_t i = 0; i < got; i++) {
            show(on, bytes[i]);
        }
    }
    return true;
}

/* Whether there is an answer behind the line that was typed. */
static bool answered(const screen *on)
{
    const char *end = strchr(on->text, '\n');
    return end && end[strspn(end, "\n ")] != '\0';
}

int main(int count, char **words)
{
    static screen on;
    static char line[4096];
    pid_t child;
    if (count < 4) {
        return 2;
    }
    FILE *in = fopen(words[1], "r");
    if (!in) {
        die(words[1]);
    }
    on.terminal = open_terminal(&child, words + 3);
    bool lives = wait_for(&on, words[2]);
    int typed = 0;
    int done = 0;
    while (lives && fgets(line, sizeof line, in)) {
        on.length = 0;
        on.text[0] = '\0';
        if (write(on.terminal, line, strlen(line)) < 0) {
            break;
        }
        typed++;
        lives = wait_for(&on, words[2]);
        done += lives || answered(&on);
    }
    int status = 0;
    if (lives) { /* it did not leave by itself */
        kill(child, SIGKILL);
    }
    waitpid(child, &status, 0);
    printf("answered %d typed %d %s\n", done, typed,
           WIFSIGNALED(status)        ? "killed"
           : WEXITSTATUS(status) == 0 ? "left"
                                      : "failed");
    fclose(in);
    return 0;
}
