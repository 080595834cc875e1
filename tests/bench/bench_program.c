/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The program as a whole: CPU time from start to the first result over that of a C program that does nothing, and of the
 * sample job loaded and estimated. Run from the root of the checkout; MOULDWRIGHT names the program. */
#include "bench.h"

#include <fcntl.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#define RUNS 31

/* CPU time of one run of a program, its output thrown away. */
static double run_s(char *const *words)
{
    struct rusage before;
    struct rusage after;
    int status = 0;
    getrusage(RUSAGE_CHILDREN, &before);
    pid_t child = fork();
    bench_must(child >= 0, "fork failed");
    if (child == 0) {
        int nowhere = open("/dev/null", O_RDWR);
        dup2(nowhere, STDIN_FILENO);
        dup2(nowhere, STDOUT_FILENO);
        execv(words[0], words);
        _exit(127);
    }
    waitpid(child, &status, 0);
    getrusage(RUSAGE_CHILDREN, &after);
    bench_must(WIFEXITED(status) && WEXITSTATUS(status) == 0, words[0]);
    double user_s = (double)(after.ru_utime.tv_sec - before.ru_utime.tv_sec) +
                    1e-6 * (double)(after.ru_utime.tv_usec - before.ru_utime.tv_usec);
    double system_s = (double)(after.ru_stime.tv_sec - before.ru_stime.tv_sec) +
                      1e-6 * (double)(after.ru_stime.tv_usec - before.ru_stime.tv_usec);
    return user_s + system_s;
}

static double median_s(char *const *words)
{
    double figures[RUNS];
    for (size_t i = 0; i < RUNS; i++) {
        figures[i] = run_s(words);
    }
    return bench_median(figures, RUNS);
}

int main(int count, char **arguments)
{
    if (count > 1 && strcmp(arguments[1], "--nothing") == 0) {
        return 0;
    }
    char *program = getenv("MOULDWRIGHT");
    bench_must(program != NULL, "MOULDWRIGHT names no program");
    char nothing[] = "--nothing";
    char statement[] = "-e";
    char formula[] = "4 m2 + 2 ft2";
    char sample[] = "samples/dunlin.job";
    char report[] = "moulds";
    char *const empty_words[] = {arguments[0], nothing, NULL};
    char *const first_words[] = {program, statement, formula, NULL};
    char *const sample_words[] = {program, sample, statement, report, NULL};
    double empty = median_s(empty_words);
    /* the limits of 10 ms and 50 ms are what a person does not notice */
    bench_print("start-to-first-result", 1e3 * (median_s(first_words) - empty), "ms", 10.0);
    bench_print("sample-job", 1e3 * (median_s(sample_words) - empty), "ms", 50.0);
    return 0;
}
