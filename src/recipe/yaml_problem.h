/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Says in a person's words why a file is not well-formed. */
#ifndef RECIPE_YAML_PROBLEM_H
#define RECIPE_YAML_PROBLEM_H

#include "recipe/yaml_tree.h"

/* What libyaml reports. Its words tell problems apart; they are never shown. */
typedef struct mw_yaml_problem {
    const char *words;
    uint32_t at;         /* byte where reading stopped */
    uint32_t context_at; /* byte where what was being read began; MW_NONE if it does not say */
} mw_yaml_problem;

/* Reports the problem at the place where a person must change something. `tree` is what was read up
 * to there. */
void mw_yaml_explain(const mw_yaml_tree *tree, const mw_yaml_problem *problem);

#endif
