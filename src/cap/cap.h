// Door of cap/: cap, mount, bench, crown shape, gap field.
#pragma once

#include "cap/crown.h"
#include "cap/describe.h"
#include "cap/gap_field.h"
#include "cap/setup.h"
