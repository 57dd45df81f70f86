// Door of advise/.
#pragma once

#include "advise/minutes.h"
#include "advise/pace.h"
#include "advise/verdict.h"
