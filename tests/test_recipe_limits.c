/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Published limits of what is in the air, as the shipped cautions quote them. A program may quote a limit;
 * the data sheet and local law rule. */
#include "support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct limit_row {
    const char *name;
    const char *caution; /* its key in recipes/cautions.yaml */
    const char *quoted;  /* must stand in its text */
    const char *source;
} limit_row;

#define STYRENE "OSHA chemical sampling page CH_268200; 29 CFR 1910.1000 table Z-2"
#define GLASS   "OSHA chemical sampling page CH_242120"
#define DUST    "29 CFR 1910.1000, read in an open summary"
#define NCO     "Directive 98/24/EC, annex I as amended, text in force on 2024-04-08"

static const limit_row rows[] = {
    {"SAF-01 styrene over 8 h", "polyester", "100 ppm over 8 h", STYRENE},
    {"SAF-02 styrene ceiling", "polyester", "ceiling 200 ppm", STYRENE},
    {"SAF-03 styrene over a shift", "polyester", "50 ppm over a shift", STYRENE},
    {"SAF-04 styrene for 15 min", "polyester", "100 ppm for 15 min", STYRENE},
    {"SAF-05 styrene at once", "polyester", "700 ppm dangerous at once", STYRENE},
    {"SAF-06 glass fibres", "glass dust", "3 fibres in a cubic centimetre", GLASS},
    {"SAF-07 glass dust", "glass dust", "5 mg/m3 in all", GLASS},
    {"SAF-08 dust", "sanding dust", "15 mg/m3 in all", DUST},
    {"SAF-09 fine dust", "sanding dust", "5 mg/m3 that reaches the lungs", DUST},
    {"SAF-10 isocyanates over 8 h", "isocyanate", "6 ug/m3 as NCO over 8 h", NCO},
    {"SAF-11 isocyanates for 15 min", "isocyanate", "12 ug/m3 for 15 min", NCO},
};

/* The text of one caution: from its key to the next key of the same depth. */
static void read_caution(const char *word, char *text, size_t size)
{
    char line[4096];
    char key[64];
    bool inside = false;
    size_t used = 0;
    FILE *file = fopen("recipes/cautions.yaml", "r");
    assert_non_null(file);
    snprintf(key, sizeof key, "  %s:", word);
    text[0] = '\0';
    while (fgets(line, sizeof line, file)) {
        if (strncmp(line, "   ", 3) != 0) {
            inside = strncmp(line, key, strlen(key)) == 0;
        }
        const size_t length = strlen(line);
        if (inside && used + length < size) {
            memcpy(text + used, line, length + 1);
            used += length;
        }
    }
    fclose(file);
}

static void check_limit(void **state)
{
    const limit_row *row = *state;
    char text[8192];
    read_caution(row->caution, text, sizeof text);
    assert_non_null(strstr(text, row->quoted));
    assert_non_null(strstr(text, "local"));
    assert_non_null(strstr(text, "ata sheet"));
    assert_true(row->source[0] != '\0');
}

int main(void)
{
    return run_rows("recipe_limits", rows, check_limit);
}
