/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading a value by the token that it begins with. Each takes the reading at that token and returns the
 * root of what it read; what cannot be read is reported and stands as a hole. */
#ifndef MW_LANG_PARSER_VALUE_H
#define MW_LANG_PARSER_VALUE_H

#include "parser.h"

typedef uint32_t mw_value_function(mw_reading *reading);

mw_value_function mw_value_number, mw_value_date, mw_value_text, mw_value_name, mw_value_usual,
    mw_value_truth, mw_value_if, mw_value_not, mw_value_minus, mw_value_plus, mw_value_bracket,
    mw_value_list;
/* Nothing can begin with the token: a value is missing in front of it. */
mw_value_function mw_value_nothing;
/* The token was reported already. */
mw_value_function mw_value_wrong;

#endif
