// Door of advise/.
#pragma once

#include "advise/pace.h"
#include "advise/verdict.h"
