/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Runs a fuzz target over the files of its corpus, so that the ordinary tests keep what fuzzing has
 * found. The first argument is the folder; without one, or an empty one, nothing is run and that is
 * said. */
#include <dirent.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* Returns whether the file could be read and was run. */
static int replay(const char *path)
{
    FILE *file = fopen(path, "rb");
    if (file == NULL) {
        perror(path);
        return 0;
    }
    static uint8_t data[1 << 20];
    size_t size = fread(data, 1, sizeof data, file);
    int good = !ferror(file);
    fclose(file);
    if (good) {
        /* Exactly as large as the input, so that the sanitizers see a step past its end. */
        uint8_t *exact = malloc(size == 0 ? 1 : size);
        if (exact == NULL) {
            return 0;
        }
        for (size_t i = 0; i < size; i++) {
            exact[i] = data[i];
        }
        LLVMFuzzerTestOneInput(exact, size);
        free(exact);
    }
    return good;
}

int main(int count, char **arguments)
{
    if (count != 2) {
        fprintf(stderr, "usage: %s FOLDER\n", arguments[0]);
        return 2;
    }
    DIR *folder = opendir(arguments[1]);
    if (folder == NULL) {
        perror(arguments[1]);
        return 1;
    }
    int run = 0;
    int bad = 0;
    const struct dirent *entry;
    while ((entry = readdir(folder)) != NULL) {
        if (entry->d_name[0] == '.') {
            continue;
        }
        char path[4096];
        snprintf(path, sizeof path, "%s/%s", arguments[1], entry->d_name);
        int good = replay(path);
        run += good;
        bad += !good;
    }
    closedir(folder);
    printf("%d inputs replayed from %s\n", run, arguments[1]);
    if (run == 0) {
        printf("an empty corpus tests nothing\n");
    }
    return run > 0 && bad == 0 ? 0 : 1;
}
