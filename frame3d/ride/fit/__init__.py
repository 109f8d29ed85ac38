"""How the bike fits its rider: contact points, cockpit, seatpost, knee and trunk."""
